"""How long each life was in service, in calendar and in running hours.

Time in the store between two placements of a pump, or after its last one, is no age
of what stands in it.
"""

from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from records.selectors.hours import running_hours
from records.selectors.lives import LifeTables

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
SECONDS_PER_HOUR = 3600.0
# A minute that no meter vouches for does not make an age an estimate.
TOLERANCE_HOURS = 1 / 60
NOWHERE = -1


@dataclass(frozen=True, slots=True, eq=False)
class Service:
    """Hours of service of each life; running hours are not-a-number if unknown.

    `estimated` are the running hours among them that no meter vouches for.
    """

    calendar: Floats
    running: Floats
    estimated: Floats

    @property
    def is_estimated(self) -> Flags:
        """Whether the running hours rest, at least in part, on a running share."""
        return np.asarray(self.estimated > TOLERANCE_HOURS)

    def plus(self, more: "Service") -> "Service":
        """Service of two stretches of time together."""
        return Service(
            self.calendar + more.calendar,
            self.running + more.running,
            self.estimated + more.estimated,
        )


def seconds(moments: "pd.Series[pd.Timestamp]") -> Floats:
    """Moments in seconds since 1970; not-a-number where there is none."""
    stamps = moments.dt.tz_localize(None).to_numpy("datetime64[ns]")
    return np.where(np.isnat(stamps), np.nan, stamps.astype(np.int64) / 1e9)


def service_between(
    tables: LifeTables, *cuts: Floats, in_running_hours: bool = True
) -> list[Service]:
    """Service of every life in each stretch between two following cuts.

    `cuts` hold one moment a life, in seconds since 1970. Without
    `in_running_hours` only the calendar is looked at.
    """
    spans = pd.concat(
        [
            _spans(tables, start, end).assign(stretch=number)
            for number, (start, end) in enumerate(zip(cuts, cuts[1:], strict=False))
        ],
        ignore_index=True,
    )
    spans["calendar"] = (spans["end"] - spans["start"]) / SECONDS_PER_HOUR
    spans["running"] = spans["estimated"] = np.nan
    if in_running_hours:
        _add_running_hours(tables, spans)
    return [
        _per_life(spans[spans["stretch"] == number], len(tables.lives))
        for number in range(len(cuts) - 1)
    ]


def _spans(tables: LifeTables, start: Floats, end: Floats) -> pd.DataFrame:
    """Stretches of service between two moments: of which life and at which position."""
    lives = tables.lives
    life = pd.DataFrame(
        {
            "life": np.arange(len(lives)),
            "pump_id": lives["pump_id"],
            "position": lives["position_id"].fillna(NOWHERE).astype(np.int64),
            "from": start,
            "to": end,
        }
    )
    moves = pd.DataFrame(
        {
            "pump_id": tables.placements["pump_id"],
            "place": tables.placements["position_id"],
            "placed": seconds(tables.placements["placed_at"]),
            "taken": seconds(tables.placements["removed_at"]),
        }
    ).sort_values(["pump_id", "placed"])
    there = life.merge(moves, on="pump_id")
    there["start"] = np.maximum(there["from"], there["placed"])
    there["end"] = np.fmin(there["to"], there["taken"])
    there["position"] = there["place"]
    # Before its first placement on record a pump is taken to have stood where its
    # life says: only a store that is on record stops the clock.
    first = moves.drop_duplicates("pump_id").set_index("pump_id")["placed"]
    life["start"] = life["from"]
    life["end"] = np.fmin(life["to"], life["pump_id"].map(first))
    columns = ["life", "position", "start", "end"]
    spans = pd.concat([there[columns], life[columns]], ignore_index=True)
    return spans[spans["end"] > spans["start"]]


def _add_running_hours(tables: LifeTables, spans: pd.DataFrame) -> None:
    """Fill in running hours, and how many of them are estimated."""
    # The hours are looked up in the order of the register, which spans must follow.
    register = tables.positions.order_by("site__name", "tag").values_list(
        "pk", flat=True
    )
    rank = {position: place for place, position in enumerate(register)}
    spans["rank"] = spans["position"].map(rank).fillna(len(rank))
    spans.sort_values("rank", kind="stable", ignore_index=True, inplace=True)
    life = spans["life"].to_numpy()
    spans["zone"] = tables.lives["time_zone"].to_numpy()[life]
    found = running_hours(
        tables.positions,
        spans,
        spans["start"].to_numpy(float),
        spans["end"].to_numpy(float),
    )
    # A life at no known position has only the running share copied at its fitting.
    share = tables.lives["running_share"].to_numpy(float)[life]
    nowhere = (spans["position"] == NOWHERE).to_numpy()
    copied = share * spans["calendar"].to_numpy()
    spans["running"] = np.where(nowhere, copied, found.hours)
    spans["estimated"] = np.where(nowhere, copied, found.estimated)


def _per_life(spans: pd.DataFrame, lives: int) -> Service:
    calendar, running, estimated = (
        np.bincount(spans["life"], weights=spans[name], minlength=lives).astype(float)
        for name in ("calendar", "running", "estimated")
    )
    return Service(calendar, running, estimated)
