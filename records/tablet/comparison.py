"""Two versions of one job side by side: what the log has, and what a tablet sent."""

from collections.abc import Sequence
from typing import Any

from plant import display
from plant.choices import ConditionFitted, Location, WhyRemoved
from records.models import Repair
from records.services.component_rows import ComponentIn, ComponentOut, components_now
from records.stories.repair_history import items_in_words, label_of
from records.tablet.typed import Typed
from records.teardown_patterns import PATTERN_BY_CODE

Cell = dict[str, Any]
MOMENTS = ("reported_at", "stopped_at", "returned_at")
COMPARED = (
    *MOMENTS,
    "category",
    "detection",
    "operating_state",
    "failure_mode",
    "impact",
    "release",
    "item",
    "mechanism",
    "cause",
    "activity",
    "also_renewed",
    "active_hours",
    "delay_hours",
    "man_hours",
    "text",
    "permit_reference",
    "isolation_reference",
    "decontamination_reference",
    "plate_check",
)
CODED = ("failure_mode", "mechanism", "cause")


def shown(repair: Repair, name: str) -> str:
    """One fact of a repair in words, blank for none."""
    value = getattr(repair, name)
    if value in (None, "", []):
        return ""
    if name in MOMENTS:
        return display.date_time(value)
    if name == "also_renewed":
        return items_in_words(value)
    if name.endswith("_hours"):
        return display.hours(value)
    words = getattr(repair, f"get_{name}_display", None)
    if words is None:
        return str(value)
    return f"{value}, {words()}" if name in CODED else str(words())


def compared(other: Repair | None, typed: Typed) -> list[list[Cell]]:
    """One row a fact that either version has; what differs is flagged in words."""
    mine = typed.as_repair()
    rows = [
        _row(label_of(name), shown(other, name) if other else "", shown(mine, name))
        for name in COMPARED
    ]
    outs, ins = components_now(other) if other else ([], [])
    parts = [
        ("Taken out", outs_in_words(outs), outs_in_words(typed.outs)),
        ("Fitted", ins_in_words(ins), ins_in_words(typed.ins)),
        ("Pump put in its place", "", _spare(typed)),
        ("Checks", _checks(other), str(len(typed.checks) or "")),
        ("Teardown patterns", _patterns(other), _typed_patterns(typed)),
    ]
    rows += [_row(*part) for part in parts]
    return [row for row in rows if row[1]["text"] or row[2]["text"]]


def outs_in_words(outs: Sequence[ComponentOut]) -> str:
    return "; ".join(
        f"{out.life.get_location_display()}, {WhyRemoved(out.why_removed).label}"
        for out in outs
    )


def ins_in_words(ins: Sequence[ComponentIn]) -> str:
    return "; ".join(
        ", ".join(word for word in (_place(row), _condition(row), _part(row)) if word)
        for row in ins
    )


def _place(row: ComponentIn) -> str:
    return str(Location(row.location).label)


def _condition(row: ComponentIn) -> str:
    code = row.life.condition_fitted if row.life else row.details["condition_fitted"]
    return str(ConditionFitted(code).label).lower()


def _part(row: ComponentIn) -> str:
    if row.life:
        return row.life.part
    details = row.details
    return str(details.get("part_number") or details.get("designation") or "")


def _spare(typed: Typed) -> str:
    return typed.swap_to_pump.serial_number if typed.swap_to_pump else ""


def _checks(other: Repair | None) -> str:
    return str(other.checks.count() or "") if other else ""


def _patterns(other: Repair | None) -> str:
    if other is None:
        return ""
    rows = other.teardown_findings.values_list("pattern", flat=True)
    return "; ".join(_title(code) for code in rows)


def _typed_patterns(typed: Typed) -> str:
    return "; ".join(_title(code) for code, _note in typed.patterns)


def _title(code: str) -> str:
    pattern = PATTERN_BY_CODE.get(code)
    return pattern.title if pattern else code


def _row(label: str, log: str, sent: str) -> list[Cell]:
    differs = bool(log and sent and log != sent)
    return [
        {"text": label},
        {"text": log},
        {"text": sent, "flag": "differs" if differs else "", "alert": differs},
    ]
