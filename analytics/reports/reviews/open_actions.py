"""What is already being done about the units of a review."""

from typing import Any

from analytics.reports.bad_actors.report import UnitKind
from analytics.reports.reviews.units import unit_key
from plant.models import Site
from records.action_choices import ActionState
from records.models import Action


def name_open_actions(units: list[dict[str, Any]], site: Site) -> None:
    """Write the open actions about each unit into its figures; two queries for all."""
    sentences: dict[str, list[str]] = {}
    rows = Action.objects.filter(site=site, state=ActionState.OPEN)
    rows = rows.select_related("owner", "finding").prefetch_related("positions")
    for action in rows.order_by("due_on", "pk"):
        words = f"Open action: {action} ({action.owner}, due {action.due_on})."
        for key in _keys(action):
            sentences.setdefault(key, []).append(words)
    for unit in units:
        unit["open_actions"] = sentences.get(unit["id"], [])


def _keys(action: Action) -> set[str]:
    found = {
        unit_key(UnitKind.POSITION, position.pk) for position in action.positions.all()
    }
    pumps = [action.pump_id]
    if action.finding is not None:
        found.add(unit_key(UnitKind.POSITION, action.finding.position_id))
        pumps.append(action.finding.pump_id)
    return found | {unit_key(UnitKind.MACHINE, pk) for pk in pumps if pk}
