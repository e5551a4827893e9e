"""Positions that have no ready spare at this moment."""

from django.db.models import (
    Count,
    Exists,
    F,
    IntegerField,
    OuterRef,
    Q,
    QuerySet,
    Subquery,
)
from django.db.models.functions import Coalesce

from analytics.scope import Scope
from plant.models import Placement, Position
from plant.models.position import PositionQuerySet
from records.models import Repair

STOPS_THE_PUMP = Q(
    stopped_at__isnull=False, returned_at__isnull=True, shop_work_of=None
)


def without_ready_spare(scope: Scope) -> QuerySet[Position]:
    """Positions in service that nothing would take over from, by tag.

    One of a spare group is listed when so few others of the group are ready that
    dropping out would leave fewer than must run. One without a group has no spare at
    all, which is its design: it is listed while its pump is stopped. Each row carries
    `others_ready` and `is_stopped`.
    """
    others = (
        _ready(Position.objects.in_service(scope.window.end))
        .filter(spare_group=OuterRef("spare_group"))
        .exclude(pk=OuterRef("pk"))
        .order_by()
        .values("spare_group")
        .annotate(ready=Count("pk"))
        .values("ready")
    )
    short = Q(others_ready__lt=F("spare_group__needed_running"))
    return (
        scope.positions()
        .in_service(scope.window.end)
        .annotate(
            others_ready=Coalesce(Subquery(others), 0, output_field=IntegerField()),
            is_stopped=Exists(_stops()),
        )
        .filter(short | Q(spare_group=None, is_stopped=True))
        .select_related("spare_group")
        .order_by("tag", "pk")
    )


def _ready(positions: PositionQuerySet) -> PositionQuerySet:
    """A pump stands there and is not stopped for a repair."""
    standing = Placement.objects.filter(position=OuterRef("pk"), removed_at=None)
    return positions.filter(Exists(standing), ~Exists(_stops()))


def _stops() -> QuerySet[Repair]:
    return Repair.objects.not_void().filter(STOPS_THE_PUMP, position=OuterRef("pk"))
