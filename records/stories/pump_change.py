"""A change of the whole pump, for the page of its repair and its history."""

from typing import Any

from plant.models import Placement
from records.models import Repair
from records.selectors.pump_changes import PumpChange, lacks_on_record, pump_change
from records.stories.repair_events import Event, who_of

Entry = dict[str, Any]


def pump_change_story(repair: Repair) -> dict[str, Any]:
    """What the page shows of it: a fact, a note on what is missing, its history."""
    change = pump_change(repair)
    if change is None:
        return {"facts": [], "notices": [], "events": []}
    return {
        "facts": [_fact(change)],
        "notices": _notices(change),
        "events": [
            *_event(change.left, f"{change.left.pump} out to the store", "~"),
            *_event(change.came, f"{change.came.pump} in", "+"),
        ],
    }


def _fact(change: PumpChange) -> Entry:
    return {
        "term": "Whole pump changed",
        "text": str(change),
        "url": change.came.pump.get_absolute_url(),
    }


def _notices(change: PumpChange) -> list[Entry]:
    lacks = lacks_on_record(change.came.pump, change.came.placed_at)
    if not lacks:
        return []
    text = (
        f"Pump {change.came.pump}, put in by this repair, has no "
        f"{' and no '.join(lacks)} on record: what is in it has to be entered."
    )
    return [{"kind": "warning", "text": text}]


def _event(placement: Placement, what: str, kind: str) -> list[Event]:
    """The stored change that moved it; none where the move has no history."""
    rows = placement.history.filter(history_type=kind).select_related("history_user")
    if kind == "~":
        rows = rows.filter(removed_at__isnull=False)
    row = rows.order_by("history_id").first()
    return [Event(row.history_date, who_of(row), what)] if row else []
