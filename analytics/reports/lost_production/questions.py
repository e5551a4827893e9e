"""What the register does not say about positions that stopped."""

from typing import Any

import numpy as np
import pandas as pd

from analytics.reports.lost_production.losses import Losses
from analytics.reports.lost_production.outcome import Outcome
from analytics.reports.lost_production.words import hours
from analytics.tables import Cell
from plant.display import number
from plant.listing import Column
from plant.tables.cells import cell, position_cell

MOST_SHOWN = 10
COLUMNS = (
    Column("Position"),
    Column("What is not on record"),
    Column("Stoppages", numeric=True),
    Column("Hours", numeric=True),
)
NO_COST = "What does an hour of stop cost here? 0 is on record, so nobody has said."
NO_GROUP = (
    "Which position is its installed spare? No spare group names one, so cover is "
    "assumed and nothing is lost."
)
TOO_MANY = (
    "Its spare group needs more running than it has in service: all of those count as "
    "needed. Is the number right?"
)


def questions(found: Losses, rows: pd.DataFrame) -> list[dict[str, Any]]:
    """One entry a position and question, with the most hours first."""
    entries = [
        *_asked(rows[rows["outcome"] == str(Outcome.UNPRICED)], "lost", NO_COST),
        *_asked(rows[rows["outcome"] == str(Outcome.ASSUMED)], "stood", NO_GROUP),
        *_asked(rows[_needs_too_many(found, rows)], "stood", TOO_MANY),
    ]
    positions, tags = found.members["position"].array, found.members["tag"].array
    for entry in entries:
        row = entry["member"]
        entry |= {"position": int(positions[row]), "tag": str(tags[row])}
    return sorted(entries, key=lambda entry: (-entry["time"], entry["tag"]))


def question_cells(entries: list[dict[str, Any]]) -> list[list[Cell]]:
    return [
        [
            position_cell(entry["position"], entry["tag"]),
            cell(entry["question"]),
            cell(number(entry["stoppages"]), numeric=True),
            cell(hours(entry["time"]), numeric=True),
        ]
        for entry in entries
    ]


def _asked(rows: pd.DataFrame, time: str, question: str) -> list[dict[str, Any]]:
    sums = rows.groupby("member").agg(stoppages=("row", "size"), time=(time, "sum"))
    return [
        {
            "member": int(entry["member"]),
            "stoppages": int(entry["stoppages"]),
            "time": int(entry["time"]),
            "question": question,
        }
        for entry in sums.reset_index().to_dict("records")
    ]


def _needs_too_many(found: Losses, rows: pd.DataFrame) -> "pd.Series[bool]":
    """Whether a group has fewer in service at the end than it needs."""
    fleet = found.fleet
    last = fleet.serves_until.max(initial=0)
    groups = pd.Series(fleet.serves_until == last).groupby(fleet.group)
    serving = groups.transform("sum").to_numpy()
    short = (fleet.needed > np.maximum(serving, 0)) & (fleet.needed > 1)
    return pd.Series(short[rows["member"].to_numpy()], index=rows.index)
