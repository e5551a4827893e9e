"""The list of repairs as table and as export."""

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from django.urls import reverse

from plant import display
from plant.listing import Column
from records.choices import RepairState
from records.elapsed import down_in_words, rework_in_words
from records.models import CostLine, Repair
from records.selectors.cost_totals import CostTotals, totals_of_lines
from records.selectors.findings import are_findings_open
from records.selectors.repairs import is_rework

if TYPE_CHECKING:
    from records.selectors.repairs import ListedRepair

Cell = dict[str, Any]

COLUMNS = (
    Column("Number", "number", ("number",)),
    Column("Tag", "tag", ("position__tag",)),
    Column("Reported", "reported", ("reported_at",)),
    Column("Why done", "category", ("category",)),
    Column("Failed item", "item", ("item",)),
    Column("Failure mode", "mode", ("failure_mode",)),
    Column("Down", numeric=True),
)
COST_COLUMNS = (
    Column("Repair cost", numeric=True),
    Column("Lost production", numeric=True),
    Column("Environment, safety", numeric=True),
)


def columns_for(see_costs: bool) -> tuple[Column, ...]:
    return COLUMNS + COST_COLUMNS if see_costs else COLUMNS


def repair_cells(rows: Iterable["ListedRepair"], see_costs: bool) -> list[list[Cell]]:
    return [
        _row(repair) + (_cost_cells(_standing(repair)) if see_costs else [])
        for repair in rows
    ]


def total_rows(totals: Sequence[CostTotals], see_costs: bool) -> list[Cell] | None:
    """The row under the table, over every page of the list."""
    if not see_costs or not totals:
        return None
    blank: list[Cell] = [{"text": ""} for _ in COLUMNS[1:]]
    return [{"text": "All pages"}, *blank, *_money_cells(totals)]


def state_flag(repair: Repair) -> str:
    if repair.state != RepairState.SIGNED:
        return str(repair.get_state_display()).lower()
    if repair.stopped_at and not repair.returned_at:
        return "not handed back"
    return "findings open" if are_findings_open(repair) else ""


def _row(repair: "ListedRepair") -> list[Cell]:
    return [
        {
            "text": repair.number,
            "url": repair.get_absolute_url(),
            "note": rework_note(repair),
        },
        {
            "text": repair.position.tag,
            "url": reverse("plant:position_detail", args=[repair.position_id]),
            "note": repair.position.service,
        },
        {
            "text": display.date_time(repair.reported_at),
            "flag": state_flag(repair),
        },
        {"text": repair.get_category_display()},
        {"text": display.text(repair.get_item_display())},
        {
            "text": display.text(repair.failure_mode),
            "note": repair.get_failure_mode_display(),
        },
        {"text": down_in_words(repair), "numeric": True},
    ]


def rework_note(repair: "ListedRepair") -> str:
    if not is_rework(repair) or repair.since_earlier is None:
        return ""
    same_item = repair.item == repair.earlier_item
    return rework_in_words(repair.since_earlier, same_item=same_item)


def _standing(repair: Repair) -> list[CostLine]:
    lines: list[CostLine] = repair.standing_costs  # type: ignore[attr-defined]
    return lines


def _cost_cells(lines: Iterable[CostLine]) -> list[Cell]:
    return _money_cells(totals_of_lines(lines))


def _money_cells(totals: Sequence[CostTotals]) -> list[Cell]:
    """Amounts in each currency; a part without any amount shows a dash."""
    parts = ("repair_cost", "lost_production", "environment_safety")
    cells: list[Cell] = []
    for part in parts:
        amounts = [(getattr(t, part), t.currency) for t in totals if getattr(t, part)]
        text = ", ".join(display.money(amount, code) for amount, code in amounts)
        cells.append({"text": text or display.NO_VALUE, "numeric": True})
    return cells


EXPORT_FACTS = (
    "category",
    "activity",
    "operating_state",
    "release",
    "failure_mode",
    "impact",
    "item",
    "mechanism",
    "cause",
    "detection",
    "active_hours",
    "delay_hours",
    "man_hours",
)
CODED = ("activity", "failure_mode", "mechanism", "cause", "detection")
COST_PARTS = ("repair_cost", "lost_production", "environment_safety")


def export_header(currencies: Sequence[str]) -> list[str]:
    """Names as in the import layout where it has them; one cost column a currency."""
    return [
        "repair_number",
        "state",
        "site",
        "area",
        "tag",
        "serial_number",
        "reported_at",
        "stopped_at",
        "returned_at",
        *EXPORT_FACTS,
        "rework",
        *[f"{part}_{code}" for code in currencies for part in COST_PARTS],
        "text",
    ]


def export_row(repair: "ListedRepair", currencies: Sequence[str]) -> list[Any]:
    zone = ZoneInfo(repair.site.time_zone)
    moments = (repair.reported_at, repair.stopped_at, repair.returned_at)
    return [
        repair.number,
        repair.state,
        repair.site.name,
        repair.position.area.name,
        repair.position.tag,
        repair.pump.serial_number if repair.pump else "",
        *[_moment(moment, zone) for moment in moments],
        *[_fact(repair, name) for name in EXPORT_FACTS],
        "yes" if is_rework(repair) else "no",
        *_cost_values(repair, currencies),
        repair.text,
    ]


def _fact(repair: Repair, name: str) -> Any:
    """Words with their ISO 14224 code before them, `1.1 Leakage`; hours as they are."""
    value = getattr(repair, name)
    if name.endswith("_hours") or not value:
        return value
    words = getattr(repair, f"get_{name}_display")()
    return f"{value} {words}" if name in CODED else words


def _moment(moment: datetime | None, zone: ZoneInfo) -> str:
    """Time at the site, with the distance to UTC so that no zone is guessed."""
    return moment.astimezone(zone).isoformat(sep=" ") if moment else ""


def _cost_values(repair: Repair, currencies: Sequence[str]) -> list[Any]:
    if not currencies:
        return []
    by_code = {t.currency: t for t in totals_of_lines(_standing(repair))}
    blank = CostTotals("")
    return [
        getattr(by_code.get(code, blank), part)
        for code in currencies
        for part in COST_PARTS
    ]
