"""Who changed a repair and its components, when, why, and from what to what."""

from collections.abc import Iterable
from typing import Any

from django.db import models

from plant import display
from plant.models import FittedLife
from records.choices import Item
from records.forms.components import BEARING_DETAILS, SEAL_DETAILS
from records.forms.repairs import RepairForm
from records.models import Repair
from records.services.repairs import FIELDS
from records.stories.check_history import check_events, pattern_events
from records.stories.repair_events import Change, Event, who_of

LIFE_FACTS = {
    "fitted_at": "Fitted",
    "started_at": "First started",
    "ended_at": "Ended",
    "removed_at": "Taken out",
    "defect_detected": "Defect seen",
    "condition_found": "Condition found",
    "why_removed": "Why taken out",
    "condition_fitted": "Condition fitted",
    **{
        name: name.replace("_", " ").capitalize()
        for name in dict.fromkeys(SEAL_DETAILS + BEARING_DETAILS)
    },
}


def repair_history(repair: Repair, moves: Iterable[Event] = ()) -> list[Event]:
    """Every change, newest first; a few queries for each kind of row.

    `moves` are those of whole pumps.
    """
    events = [
        *moves,
        *_repair_events(repair),
        *_life_events(repair),
        *check_events(repair),
        *pattern_events(repair),
    ]
    return sorted(events, key=lambda event: event.at, reverse=True)


def _repair_events(repair: Repair) -> list[Event]:
    rows = list(repair.history.select_related("history_user").order_by("history_id"))
    labels = {name: label_of(name) for name in FIELDS}
    numbers = _numbers({row.shop_work_of_id for row in rows})
    events = []
    for before, row in zip([None, *rows], rows, strict=False):
        changes = [] if before is None else _changes(before, row, labels, numbers)
        what = row.history_change_reason or _what(row.history_type)
        events.append(Event(row.history_date, who_of(row), what, changes))
    return events


def label_of(name: str) -> str:
    """The word by which the form calls a field; the tablet asks one more."""
    if name == "plate_check":
        return "Serial number on the plate"
    return str(RepairForm.base_fields[name].label)


def _life_events(repair: Repair) -> list[Event]:
    """History rows of lives whose reason names this repair."""
    if repair.pump_id is None:
        return []
    mine = f"{repair.number}: "
    rows = list(
        FittedLife.history.filter(
            pump_id=repair.pump_id,
            id__in=FittedLife.history.filter(
                pump_id=repair.pump_id, history_change_reason__startswith=mine
            ).values("id"),
        )
        .select_related("history_user")
        .order_by("id", "history_id")
    )
    events = []
    for before, row in zip([None, *rows], rows, strict=False):
        if not (row.history_change_reason or "").startswith(mine):
            continue
        known = before is not None and before.id == row.id and row.history_type == "~"
        changes = _changes(before, row, LIFE_FACTS, {}) if known else []
        place = FittedLife(location=row.location).get_location_display()
        what = f"{place} {row.history_change_reason.removeprefix(mine)}"
        events.append(Event(row.history_date, who_of(row), what, changes))
    return events


def _changes(
    before: Any, after: Any, labels: dict[str, str], numbers: dict[int, str]
) -> list[Change]:
    changes = []
    for name, label in labels.items():
        column = before.instance_type._meta.get_field(name)
        old, new = getattr(before, column.attname), getattr(after, column.attname)
        if old != new:
            shown = [_shown(column, value, numbers) for value in (old, new)]
            changes.append(Change(label, *shown))
    return changes


def _shown(column: Any, value: Any, numbers: dict[int, str]) -> str:
    if isinstance(column, models.ForeignKey):
        return display.text(numbers.get(value))
    if isinstance(column, models.DateTimeField):
        return display.date_time(value)
    if isinstance(column, models.BooleanField):
        return display.yes_no(value)
    if isinstance(column, models.JSONField):
        return items_in_words(value)
    return display.text(dict(column.flatchoices).get(value, value))


def items_in_words(codes: Iterable[str]) -> str:
    labels = {str(item): str(item.label) for item in Item}
    return display.text(", ".join(labels.get(code, code) for code in codes))


def _numbers(pks: Iterable[int | None]) -> dict[int, str]:
    wanted = [pk for pk in pks if pk is not None]
    if not wanted:
        return {}
    return dict(Repair.objects.filter(pk__in=wanted).values_list("pk", "number"))


def _what(history_type: str) -> str:
    return {"+": "Entered", "~": "Changed", "-": "Deleted"}[history_type]
