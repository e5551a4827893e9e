"""What deserves a look today: high vibration, and actions that are overdue."""

from django.db.models import Exists, OuterRef, Q, QuerySet

from analytics.scope import Scope
from records.models import Action, Reading
from records.reading_choices import Quantity
from records.selectors.actions import actions_visible, overdue
from records.selectors.readings import JudgedReading, positions_in_zone


def high_zones(scope: Scope) -> dict[int, JudgedReading]:
    """The worst latest vibration of each position in service in zone C or D."""
    measured = Reading.objects.filter(
        position=OuterRef("pk"), quantity=Quantity.VIBRATION, struck_reason=""
    )
    positions = scope.positions().in_service(scope.window.end)
    return positions_in_zone(positions.filter(Exists(measured)))


def overdue_actions(scope: Scope) -> QuerySet[Action]:
    """Overdue actions of the sites, or those about a position of the area."""
    rows = overdue(actions_visible(scope.user), scope.window.end)
    rows = rows.filter(site__in=scope.sites)
    if scope.area is not None:
        inside = scope.positions().order_by().values("pk")
        about = Action.objects.filter(
            Q(positions__in=inside)
            | Q(finding__position__in=inside)
            | Q(
                pump__placements__position__in=inside,
                pump__placements__removed_at=None,
            )
        )
        rows = rows.filter(pk__in=about.order_by().values("pk"))
    return rows.order_by("due_on", "pk")
