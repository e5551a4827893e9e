"""Stoppages of a period as table and as export."""

from collections.abc import Iterator
from datetime import UTC, datetime
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

import pandas as pd
from django.urls import reverse
from django.utils import timezone

from analytics.money.stops import HOUR
from analytics.reports.lost_production.losses import Losses
from analytics.reports.lost_production.outcome import Outcome
from analytics.reports.lost_production.words import Stoppage, Words, hours
from analytics.tables import Cell
from plant.display import NO_VALUE, date_time, money, yes_no
from plant.listing import Column
from plant.tables.cells import cell, position_cell
from records.choices import Category, CostStatus
from records.selectors.moments import SECOND

COLUMNS = (
    Column("Repair", "number"),
    Column("Position", "tag"),
    Column("Stopped", "stopped"),
    Column("Stopped for", "hours", numeric=True),
    Column("Lost", "lost", numeric=True),
    Column("How it is worked out"),
    Column("Worked out", "worked", numeric=True),
    Column("Entered", "entered", numeric=True),
    Column("What counts"),
)
# Column of the losses by sort key.
SORTS = {
    "number": "number",
    "tag": "tag",
    "stopped": "stopped",
    "hours": "stood",
    "lost": "lost",
    "worked": "cents",
    "entered": "entered",
}
USUAL_SORT = "-worked"
EXPORT_HEADER = (
    *("site", "tag", "spare_group", "repair_number", "category", "stopped_at"),
    *("returned_at", "stop_time_as_reported", "hours_stopped_in_period"),
    *("hours_not_covered", "hours_borne", "buffer_hours_used", "hours_lost"),
    *("stopped_cost_per_hour", "output_share_lost", "outcome", "currency"),
    *("worked_out", "worked_out_counted", "entered_estimate", "entered_booked"),
    *("entered_currency", "what_counts", "how_it_is_worked_out"),
)


def in_order(found: Losses, rows: pd.DataFrame, sort: str) -> pd.DataFrame:
    """Rows sorted as `key` or `-key` says, else with the dearest first."""
    key = sort.removeprefix("-")
    if key not in SORTS:
        key, sort = USUAL_SORT.removeprefix("-"), USUAL_SORT
    keyed = rows.assign(
        tag=found.members["tag"].to_numpy()[rows["member"].to_numpy()],
        entered=[
            float(sum(line["amount"] for line in found.lines.get(repair, [])))
            for repair in rows["repair"]
        ],
    )
    # The longer loss first where the price is the same, as where nobody gave one.
    by = [SORTS[key], "lost", "stopped", "repair"]
    order = [not sort.startswith("-"), False, False, True]
    places = keyed.reset_index(drop=True).sort_values(by, ascending=order).index
    return rows.iloc[places]


def cells(stoppage: Stoppage, words: Words) -> list[Cell]:
    member = words.member(stoppage)
    figures = entered_in_words(stoppage, words.losses)
    is_priced = stoppage.outcome != Outcome.UNPRICED
    worked = money(stoppage.amount, member["currency"]) if is_priced else ""
    begin, _ = moments(stoppage, words.losses)
    return [
        cell(
            stoppage.number,
            url=reverse("records:repair_detail", args=[stoppage.repair]),
            note=marks(stoppage),
        ),
        position_cell(stoppage.position, member["tag"], note=member["group_name"]),
        cell(begin),
        cell(hours(stoppage.stood), numeric=True),
        cell(hours(stoppage.lost), numeric=True),
        cell(words.reckoning(stoppage), note=words.bearing(stoppage)),
        cell(worked, numeric=True),
        cell(figures, numeric=True),
        cell(counts_in_words(stoppage, words)),
    ]


def marks(stoppage: Stoppage) -> str:
    """What limits the hours of this row."""
    said = {
        "still stopped": stoppage.is_open,
        "cut at the period's edge": stoppage.is_cut and not stoppage.is_open,
        "stop time is that of the report": stoppage.stop_as_reported,
    }
    return "; ".join(words for words, holds in said.items() if holds)


def entered_in_words(stoppage: Stoppage, found: Losses) -> str:
    """The amounts in the ledger, each with what it is."""
    return ", ".join(
        f"{money(line['amount'], line['currency'])} "
        f"({CostStatus(line['status']).label.lower()})"
        for line in found.lines.get(stoppage.repair, [])
    )


def counts_in_words(stoppage: Stoppage, words: Words) -> str:
    """Which figure counts: an entered one always goes before one worked out."""
    if stoppage.has_figure:
        return "entered"
    if stoppage.outcome == Outcome.UNPRICED:
        where = words.entered_at(stoppage)
        return f"entered at {where}" if where else "nothing: no stopped cost"
    if not stoppage.cents:
        return NO_VALUE
    if stoppage.counted == stoppage.cents:
        return "worked out"
    where = words.entered_at(stoppage)
    if not stoppage.counted:
        return f"entered at {where} for the whole outage"
    currency = words.member(stoppage)["currency"]
    left = money(stoppage.counted_amount, currency)
    return f"{left} worked out; the rest is entered at {where}"


def moments(stoppage: Stoppage, found: Losses) -> tuple[str, str]:
    """Stop and hand-back as they are on record, in the zone of the site."""
    with timezone.override(ZoneInfo(str(found.members["zone"].iat[stoppage.member]))):
        stopped = date_time(_moment(found.table["stopped"].iat[stoppage.row]))
        if stoppage.is_open:
            return stopped, ""
        return stopped, date_time(_moment(found.table["returned"].iat[stoppage.row]))


def _moment(microseconds: Any) -> datetime:
    return datetime.fromtimestamp(int(microseconds) / SECOND, UTC)


def export_rows(found: Losses, rows: pd.DataFrame) -> Iterator[list[Any]]:
    """All rows, amounts and hours as numbers."""
    words = Words(found)
    for stoppage in Stoppage.of(rows):
        yield _export_row(stoppage, words)


def _export_row(stoppage: Stoppage, words: Words) -> list[Any]:
    member = words.member(stoppage)
    lines = words.losses.lines.get(stoppage.repair, [])
    currencies = sorted({line["currency"] for line in lines})
    is_priced = stoppage.outcome != Outcome.UNPRICED
    return [
        *(member["site_name"], member["tag"], member["group_name"] or ""),
        *(stoppage.number, Category(stoppage.category).label),
        *(*moments(stoppage, words.losses), yes_no(stoppage.stop_as_reported)),
        *(
            time / HOUR
            for time in (
                *(stoppage.stood, stoppage.uncovered, stoppage.borne),
                *(stoppage.spent, stoppage.lost),
            )
        ),
        *(member["cost"], member["share"], Outcome(stoppage.outcome).label),
        member["currency"],
        *(stoppage.amount if is_priced else "", stoppage.counted_amount),
        *(_sums(lines, status, currencies) for status in CostStatus),
        " and ".join(currencies),
        counts_in_words(stoppage, words),
        words.reckoning(stoppage),
    ]


def _sums(lines: list[dict[str, Any]], status: str, currencies: list[str]) -> Any:
    """One amount; of several currencies a text, for they are never added."""
    sums = [
        sum(
            (
                line["amount"]
                for line in lines
                if line["currency"] == currency and line["status"] == status
            ),
            Decimal(0),
        )
        for currency in currencies
    ]
    if len(sums) < 2:
        return sums[0] if sums else ""
    return " and ".join(map(str, sums))
