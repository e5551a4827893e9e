"""Open actions about the units of the Bad actors page."""

from collections import defaultdict
from collections.abc import Collection

from django.db.models import Q

from analytics.reports.bad_actors.report import BadActorReport, UnitKind
from plant.display import date
from records.models import Action
from records.selectors.actions import actions_visible


def open_actions(
    report: BadActorReport, keys: Collection[int]
) -> dict[int, list[Action]]:
    """By unit, the soonest due first; two queries."""
    if not keys:
        return {}
    is_machine = report.kind is UnitKind.MACHINE
    own = "pump" if is_machine else "positions"
    about = Q(**{f"{own}__in": keys}) | Q(
        **{f"finding__{report.kind.of_repair}__in": keys}
    )
    rows = actions_visible(report.scope.user).open().filter(about).distinct()
    found: dict[int, list[Action]] = defaultdict(list)
    for action in rows.order_by("due_on", "pk"):
        for key in _units_of(action, is_machine) & set(keys):
            found[key].append(action)
    return dict(found)


def action_in_words(action: Action, *, with_title: bool = False) -> str:
    """Who does it by when."""
    words = f"{action.owner}, due {date(action.due_on)}"
    return f"{action.title}, {words}" if with_title else words


def _units_of(action: Action, is_machine: bool) -> set[int]:
    finding = action.finding
    if is_machine:
        own = {action.pump_id, finding.pump_id if finding else None}
    else:
        own = {place.pk for place in action.positions.all()}
        own.add(finding.position_id if finding else None)
    return {key for key in own if key is not None}
