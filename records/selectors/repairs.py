"""Which repairs: the list with its filters, single rows and their neighbours."""

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import TYPE_CHECKING, Any, TypedDict

from django.db.models import (
    DurationField,
    ExpressionWrapper,
    F,
    OuterRef,
    Prefetch,
    Q,
    QuerySet,
    Subquery,
)
from django.db.models.functions import Coalesce
from django.utils import timezone

from plant.models import Area, Placement, Position, Pump, Site, User
from records.choices import RepairState
from records.counting import Rule, counted_failures, counted_repairs
from records.models import CostLine, Repair
from records.models.repair import RepairQuerySet
from records.selectors.findings import STILL_OPEN

if TYPE_CHECKING:
    from django_stubs_ext import WithAnnotations

    class SinceLast(TypedDict):
        """What `with_earlier_repair` adds."""

        earlier_pk: int | None
        earlier_item: str | None
        since_earlier: timedelta | None

    ListedRepair = WithAnnotations[Repair, SinceLast]

SAME_HOUR = timedelta(hours=1)


@dataclass(frozen=True, slots=True)
class RepairFilter:
    """What the list shows; blank fields leave nothing out but void repairs."""

    text: str = ""
    site: Site | None = None
    area: Area | None = None
    category: str = ""
    failure_mode: str = ""
    item: str = ""
    state: str = ""
    counted_as: str = ""
    reported_from: date | None = None
    reported_to: date | None = None
    open_only: bool = False
    findings_open: bool = False


def repairs_filtered(
    *, user: User, choice: RepairFilter, rules: dict[int, Rule]
) -> RepairQuerySet:
    """Repairs of the user's sites, newest first; void ones only when asked for.

    `text` is looked for in number, tag, serial number of pump and components, and
    in the text of the repair.
    """
    rows = Repair.objects.visible_to(user)
    rows = rows.filter(state=choice.state) if choice.state else rows.not_void()
    exact = {
        "site": choice.site,
        "position__area": choice.area,
        "category": choice.category,
        "failure_mode": choice.failure_mode,
        "item": choice.item,
    }
    rows = rows.filter(**{name: value for name, value in exact.items() if value})
    if choice.reported_from:
        rows = rows.filter(reported_at__gte=_start_of(choice.reported_from))
    if choice.reported_to:
        after = choice.reported_to + timedelta(days=1)
        rows = rows.filter(reported_at__lt=_start_of(after))
    if choice.counted_as == "repair":
        rows = rows.filter(counted_repairs(rules))
    elif choice.counted_as == "failure":
        rows = rows.filter(counted_failures(rules))
    if choice.open_only:
        rows = rows.open()
    if choice.findings_open:
        rows = rows.filter(STILL_OPEN)
    if choice.text:
        rows = rows.filter(_mentions(choice.text))
    return rows.order_by("-reported_at", "-pk")


def _start_of(day: date) -> datetime:
    return datetime.combine(day, time(), tzinfo=timezone.get_current_timezone())


def _mentions(text: str) -> Q:
    by_component = Repair.objects.filter(
        component_changes__life__serial__icontains=text
    ).values("pk")
    return (
        Q(number__icontains=text)
        | Q(position__tag__icontains=text)
        | Q(pump__serial_number__icontains=text)
        | Q(text__icontains=text)
        | Q(pk__in=by_component)
    )


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


def with_costs(rows: "QuerySet[ListedRepair]") -> "QuerySet[ListedRepair]":
    """Fetch the standing cost lines with the rows, as `standing_costs`."""
    return rows.prefetch_related(
        Prefetch(
            "cost_lines", queryset=CostLine.objects.standing(), to_attr="standing_costs"
        )
    )


def is_rework(repair: "ListedRepair") -> bool:
    """Whether it came within the site's window after the last repair of the pump."""
    if repair.since_earlier is None or repair.shop_work_of_id is not None:
        return False
    return repair.since_earlier <= timedelta(days=repair.site.rework_window_days)


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
