"""Who changed the checks and patterns of a repair, for its history."""

from collections.abc import Iterator
from typing import Any

from plant import display
from records.check_choices import CheckKind, CheckStage
from records.models import Repair, SettingCheck, TeardownFinding
from records.stories.repair_events import Change, Event, who_of
from records.teardown_patterns import PATTERN_BY_CODE

CHECK_FACTS = {
    "entered": "Value",
    "not_measured_reason": "Why not measured",
    "out_of_limit_reason": "Why it stays out of limit",
    "instrument": "Measured with",
}
PATTERN_FACTS = {"note": "Note"}
WORDS = {"+": "entered", "~": "changed", "-": "taken away"}


def check_events(repair: Repair) -> Iterator[Event]:
    """Changes of checks, each with its kind and stage; one query."""
    rows = SettingCheck.history.filter(repair_id=repair.pk)
    for before, row in _pairs(rows):
        kind, stage = CheckKind(row.kind).label, CheckStage(row.stage).label
        yield _event(before, row, f"{kind}, {stage.lower()}", CHECK_FACTS)


def pattern_events(repair: Repair) -> Iterator[Event]:
    """Changes of the patterns seen; one query."""
    rows = TeardownFinding.history.filter(repair_id=repair.pk)
    for before, row in _pairs(rows):
        pattern = PATTERN_BY_CODE.get(row.pattern)
        yield _event(
            before, row, pattern.title if pattern else row.pattern, PATTERN_FACTS
        )


def _pairs(rows: Any) -> Iterator[tuple[Any, Any]]:
    """Each version of a row beside the one before it, if there was one."""
    before = None
    for row in rows.select_related("history_user").order_by("id", "history_id"):
        yield (before if before is not None and before.id == row.id else None), row
        before = row


def _fact(row: Any, field: str) -> str:
    """A field of the row; a value goes with its unit."""
    if field == "entered":
        return f"{row.entered_value} {row.entered_unit}".strip()
    return str(getattr(row, field))


def _event(before: Any, row: Any, name: str, facts: dict[str, str]) -> Event:
    changes = []
    if row.history_type != "-":
        for field, label in facts.items():
            old = _fact(before, field) if before is not None else ""
            new = _fact(row, field)
            if old != new:
                changes.append(Change(label, display.text(old), display.text(new)))
    reason = f" ({row.history_change_reason})" if row.history_change_reason else ""
    what = f"{name} {WORDS[row.history_type]}{reason}"
    return Event(row.history_date, who_of(row), what, changes)
