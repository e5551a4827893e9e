"""Single repairs and their neighbours; repair_filter.py chooses those of the list."""

from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any, TypedDict

from django.db.models import (
    Case,
    DurationField,
    ExpressionWrapper,
    F,
    OuterRef,
    Prefetch,
    Q,
    QuerySet,
    Subquery,
    Value,
    When,
)
from django.db.models.functions import Coalesce

from plant.models import Placement, Position, Pump, User
from records.choices import RepairState
from records.models import CostLine, Repair
from records.models.repair import RepairQuerySet
from records.selectors.moments import Microseconds

if TYPE_CHECKING:
    from django_stubs_ext import WithAnnotations

    class SinceLast(TypedDict):
        """What `with_earlier_repair` adds."""

        earlier_pk: int | None
        earlier_item: str | None
        since_earlier: timedelta | None

    ListedRepair = WithAnnotations[Repair, SinceLast]

SAME_HOUR = timedelta(hours=1)
# As whole microseconds.
A_DAY = timedelta(days=1) // timedelta(microseconds=1)


def earlier_ones() -> "QuerySet[Any]":
    """What the time since the last repair may run from, newest first, with its end.

    The one rule for records, forms and tablets: neither void nor shop work.
    """
    over_at = Coalesce("returned_at", "reported_at")
    rows = Repair.objects.not_void().filter(shop_work_of__isnull=True)
    return rows.annotate(over_at=over_at).order_by("-reported_at", "-pk")


def with_earlier_repair(rows: "QuerySet[Repair]") -> "QuerySet[ListedRepair]":
    """Add the last repair of the same pump before each one, and the time since.

    The time runs from the hand-back, else from the report, of the earlier one.
    """
    earlier = earlier_ones().filter(
        pump=OuterRef("pump"), reported_at__lt=OuterRef("reported_at")
    )
    with_last: Any = rows.annotate(
        earlier_pk=Subquery(earlier.values("pk")[:1]),
        earlier_item=Subquery(earlier.values("item")[:1]),
        earlier_over_at=Subquery(earlier.values("over_at")[:1]),
    ).annotate(
        since_earlier=ExpressionWrapper(
            F("reported_at") - F("earlier_over_at"), output_field=DurationField()
        )
    )
    listed: QuerySet[ListedRepair] = with_last
    return listed


def with_costs(
    rows: "QuerySet[ListedRepair]", of_lines: Q | None = None
) -> "QuerySet[ListedRepair]":
    """Fetch the standing cost lines, or those of `of_lines`, as `standing_costs`."""
    lines = CostLine.objects.standing().filter(of_lines or Q())
    return rows.prefetch_related(
        Prefetch("cost_lines", queryset=lines, to_attr="standing_costs")
    )


def is_rework(repair: "ListedRepair") -> bool:
    """Whether it came within the site's window after the last repair of the pump."""
    if repair.since_earlier is None or repair.shop_work_of_id is not None:
        return False
    return repair.since_earlier <= timedelta(days=repair.site.rework_window_days)


def rework_and_its_shop_work(rows: RepairQuerySet) -> RepairQuerySet:
    """Those for which `is_rework` holds, and the shop work that belongs to such."""
    is_own = Q(shop_work_of__isnull=True)
    rows = rows.alias(
        event_pump=Case(When(is_own, then="pump"), default="shop_work_of__pump"),
        event_at=Case(
            When(is_own, then="reported_at"), default="shop_work_of__reported_at"
        ),
    )
    earlier = earlier_ones().filter(
        pump=OuterRef("event_pump"), reported_at__lt=OuterRef("event_at")
    )
    # Microseconds, since SQLite can neither multiply nor store a span of time.
    ended = Subquery(earlier.values(ended=Microseconds("over_at"))[:1])
    return rows.alias(
        since_event=Microseconds("event_at") - ended,
        rework_window=F("site__rework_window_days") * Value(A_DAY),
    ).filter(since_event__lte=F("rework_window"))


def repair_version(repair: Repair) -> int:
    """A number that grows with every change of the repair."""
    newest = (
        repair.history.order_by("-history_id")
        .values_list("history_id", flat=True)
        .first()
    )
    return int(newest or 0)


def repair_is_own_draft(repair: Repair, user: User) -> bool:
    """Whether `user` logged it and nobody has signed it."""
    if repair.state != RepairState.DRAFT:
        return False
    first = repair.history.filter(history_type="+").order_by("history_id").first()
    return first is not None and first.history_user_id == user.pk


def repair_like(repair: Repair) -> Repair | None:
    """Another repair of the same position and item, reported in the same hour."""
    return (
        Repair.objects.not_void()
        .filter(
            position=repair.position,
            item=repair.item,
            shop_work_of=repair.shop_work_of,
            reported_at__gt=repair.reported_at - SAME_HOUR,
            reported_at__lt=repair.reported_at + SAME_HOUR,
        )
        .exclude(pk=repair.pk)
        .first()
    )


def pump_at(*, position: Position, at: datetime) -> Pump | None:
    """The pump that stood at a position at a moment."""
    placement = (
        Placement.objects.filter(position=position, placed_at__lte=at)
        .filter(Q(removed_at__isnull=True) | Q(removed_at__gt=at))
        .select_related("pump__site")
        .first()
    )
    return placement.pump if placement else None


def last_position_of(pump: Pump) -> Position | None:
    """Where a pump stands or, in the store, stood last."""
    placement = (
        Placement.objects.filter(pump=pump)
        .select_related("position__site", "position__area")
        .order_by("-placed_at")
        .first()
    )
    return placement.position if placement else None


def last_repairs(
    *,
    position: Position | None = None,
    pump: Pump | None = None,
    before: datetime | None = None,
    limit: int = 3,
) -> list[Repair]:
    """The newest repairs that are not void, of a position or of a pump.

    `before` leaves out what was reported at that moment or later.
    """
    rows = Repair.objects.not_void().select_related("position", "pump")
    if before is not None:
        rows = rows.filter(reported_at__lt=before)
    if position is not None:
        rows = rows.filter(position=position)
    if pump is not None:
        rows = rows.filter(pump=pump)
    return list(rows.order_by("-reported_at", "-pk")[:limit])


def open_stoppages(position: Position) -> RepairQuerySet:
    """Repairs of a position that shop work can belong to, newest first."""
    return Repair.objects.filter(position=position, shop_work_of__isnull=True).exclude(
        state=RepairState.VOID
    )
