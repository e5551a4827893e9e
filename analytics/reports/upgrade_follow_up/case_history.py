"""Every change of a case: who, when, and what it said before."""

from collections.abc import Mapping
from datetime import date, timedelta
from typing import Any

from django.apps import apps

from plant import display
from records.action_choices import ChangeMade
from records.models import UpgradeCase
from records.selectors.upgrade_cases import LAST_FIGURES
from records.stories.repair_events import Change, Event, who_of

FACTS = {
    "title": "Name",
    "change_made": "Kind of change",
    "as_of": "Records up to",
    "currency": "Currency",
    "withdrawn": "Withdrawn",
}
CHANGES = dict(ChangeMade.choices)
# Setting the positions of a case stores its row a second time.
ONE_CHANGE = timedelta(seconds=2)


def case_history(case: UpgradeCase) -> list[Event]:
    """Every change, newest first."""
    rows = case.history.select_related("history_user").order_by("history_id")
    tags = tags_by_change(case)
    kept: list[Any] = []
    for row in rows:
        row.tags = ", ".join(tags.get(row.pk, []))
        if kept and _is_same_change(kept[-1], row):
            kept.pop()
        kept.append(row)
    befores: list[Any] = [None, *kept]
    events = [
        Event(
            row.history_date,
            who_of(row),
            row.history_change_reason or "Changed",
            [] if before is None else _changes(before, row),
        )
        for before, row in zip(befores, kept, strict=False)
    ]
    return events[::-1]


def _is_same_change(before: Any, after: Any) -> bool:
    said = (before.history_change_reason, before.history_user_id)
    return (
        said == (after.history_change_reason, after.history_user_id)
        and after.history_date - before.history_date < ONE_CHANGE
    )


def _changes(before: Any, after: Any) -> list[Change]:
    plain = [
        Change(label, _shown(getattr(before, name)), _shown(getattr(after, name)))
        for name, label in FACTS.items()
        if getattr(before, name) != getattr(after, name)
    ]
    moved = []
    if before.tags != after.tags:
        was, now = display.text(before.tags), display.text(after.tags)
        moved.append(Change("Positions", was, now))
    return plain + moved + _assumed(before.assumptions, after.assumptions)


def tags_by_change(case: UpgradeCase) -> dict[int, list[str]]:
    """Tags that each row of the history held."""
    rows = apps.get_model("records", "HistoricalUpgradeCase_positions").objects
    kept = rows.filter(upgradecase=case.pk).order_by("position__tag")
    found: dict[int, list[str]] = {}
    for change, tag in kept.values_list("history_id", "position__tag"):
        found.setdefault(change, []).append(tag)
    return found


def _assumed(before: Mapping[str, Any], after: Mapping[str, Any]) -> list[Change]:
    names = [name for name in {**before, **after} if name != LAST_FIGURES]
    return [
        Change(_label(name), _typed(before.get(name)), _typed(after.get(name)))
        for name in names
        if before.get(name) != after.get(name)
    ]


def _label(name: str) -> str:
    return name.replace("_", " ").capitalize()


def _typed(value: Any) -> str:
    """A typed figure or kind of part in few words."""
    if isinstance(value, Mapping):
        parts = [f"{name} {one}" for name, one in value.items() if one]
        return display.text(", ".join(parts))
    return _shown(value)


def _shown(value: Any) -> str:
    if isinstance(value, bool):
        return display.yes_no(value)
    if isinstance(value, date):
        return display.date(value)
    return display.text(CHANGES.get(value, value))
