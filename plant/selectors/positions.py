"""Positions as the register shows them: duty, plan and the pump standing there."""

from datetime import date
from typing import TYPE_CHECKING, TypedDict, cast

from django.db.models import (
    Case,
    IntegerField,
    OuterRef,
    Q,
    QuerySet,
    Subquery,
    TextField,
    When,
)
from django.db.models.functions import Cast
from django.db.models.lookups import Contains

from plant.choices import Criticality
from plant.models import Area, DutyPeriod, Placement, Position, Site, User
from plant.models.position import PositionQuerySet

if TYPE_CHECKING:
    from django_stubs_ext import WithAnnotations

    class StandsThere(TypedDict):
        """What the register adds to each position."""

        criticality_rank: int
        pump_pk: int | None
        pump_serial: str | None
        piping_plan: str | None
        running_share: float | None

    ListedPosition = WithAnnotations[Position, StandsThere]


def positions_list(
    *,
    user: User,
    on: date,
    text: str = "",
    site: Site | None = None,
    area: Area | None = None,
    criticality: str = "",
    hazard: str = "",
    in_service: str = "",
) -> "QuerySet[ListedPosition]":
    """Positions of the user's sites with what stands there now and the plan `on`.

    `in_service` is "in", "out" or empty for both; `text` is looked for in tag,
    service, liquid and the serial number of the pump standing there.
    """
    rows = Position.objects.visible_to(user)
    if site is not None:
        rows = rows.filter(site=site)
    if area is not None:
        rows = rows.filter(area=area)
    if criticality:
        rows = rows.filter(criticality=criticality)
    if in_service == "in":
        rows = rows.in_service(on)
    elif in_service == "out":
        rows = rows.exclude(pk__in=Position.objects.in_service(on).values("pk"))
    if hazard:
        # The list is JSON; its text is searched because SQLite has no "contains".
        rows = rows.filter(Contains(Cast("hazards", TextField()), f'"{hazard}"'))
    listed = with_standing_pump(rows, on)
    if text:
        listed = listed.filter(
            Q(tag__icontains=text)
            | Q(service__icontains=text)
            | Q(liquid__icontains=text)
            | Q(pump_serial__icontains=text)
        )
    return listed.select_related("site", "area").order_by("site__name", "tag")


def with_standing_pump(rows: PositionQuerySet, on: date) -> "QuerySet[ListedPosition]":
    """Add the pump that stands at each position and the duty that holds `on`."""
    placement = Placement.objects.filter(
        position=OuterRef("pk"), removed_at__isnull=True
    )
    duty = DutyPeriod.objects.filter(
        position=OuterRef("pk"), starts_on__lte=on
    ).order_by("-starts_on")
    listed = rows.annotate(
        criticality_rank=_rank(),
        pump_pk=Subquery(placement.values("pump_id")[:1]),
        pump_serial=Subquery(placement.values("pump__serial_number")[:1]),
        piping_plan=Subquery(duty.values("piping_plan")[:1]),
        running_share=Subquery(duty.values("running_share")[:1]),
    )
    return cast("QuerySet[ListedPosition]", listed)


def _rank() -> Case:
    """High first: the words would sort high, low, medium."""
    ranks = [
        When(criticality=code, then=rank)
        for rank, code in enumerate(Criticality.values)
    ]
    return Case(*ranks, output_field=IntegerField())


def spare_partners(position: Position, on: date) -> "QuerySet[ListedPosition]":
    """The other positions of its spare group; none without a group."""
    if position.spare_group_id is None:
        return with_standing_pump(Position.objects.none(), on)
    group = Position.objects.filter(spare_group=position.spare_group_id)
    return with_standing_pump(group.exclude(pk=position.pk), on).order_by("tag")


def is_in_service(position: Position, on: date) -> bool:
    begun = position.in_service_on is None or position.in_service_on <= on
    over = position.out_of_service_on is not None and position.out_of_service_on <= on
    return begun and not over
