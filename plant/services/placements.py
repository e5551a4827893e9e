"""Moves of pumps between positions and the store."""

from datetime import datetime
from zoneinfo import ZoneInfo

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Q

from plant.access import require
from plant.display import date as day_words
from plant.display import date_time
from plant.models import FittedLife, Placement, Position, Pump, User
from plant.services.rows import row_store
from plant.services.spans import first_overlap


def placement_refuse_overlap(
    *,
    pump: Pump,
    position: Position,
    placed_at: datetime,
    removed_at: datetime | None,
    ignore: Placement | None = None,
) -> None:
    """Refuse a placement that meets another of the same pump or position."""
    others = Placement.objects.exclude(pk__in=[ignore.pk] if ignore else [])
    for field, rows in (
        ("pump", others.filter(pump=pump).select_related("position")),
        ("position", others.filter(position=position).select_related("pump")),
    ):
        other = first_overlap(
            rows,
            starts_at=placed_at,
            ends_at=removed_at,
            start_field="placed_at",
            end_field="removed_at",
        )
        if other is None:
            continue
        until = date_time(other.removed_at) if other.removed_at else "today"
        raise ValidationError(
            {
                "placed_at": f"Pump {other.pump} was at {other.position} from "
                f"{date_time(other.placed_at)} until {until}: a pump is at one "
                "position at a time, and a position holds one pump."
            },
            code=f"{field}_overlap",
        )


@transaction.atomic
def pump_place(
    *, by: User, pump: Pump, position: Position, placed_at: datetime
) -> Placement:
    """Put a pump at a position; whatever stood there goes to the store.

    Raises
    ------
    ValidationError
        When pump or position is taken at that time by a later or closed placement,
        they belong to different sites, the pump is retired or the position out of
        service, or what stands there must stay.
    """
    require(by, "records.log_repair", site=position.site)
    # Locked in one order everywhere, pump before position: whoever retires this pump
    # or moves it elsewhere at the same moment waits, and then sees this move.
    pump = Pump.objects.select_for_update(no_key=True).get(pk=pump.pk)
    positions = Position.objects.select_for_update(no_key=True)
    position = positions.get(pk=position.pk)
    _refuse_place(pump, position, placed_at)
    leaving = (
        Placement.objects.select_for_update()
        .filter(Q(position=position) | Q(pump=pump))
        .filter(removed_at__isnull=True, placed_at__lte=placed_at)
        .order_by("pk")
    )
    for placement in leaving:
        pump_take_out(by=by, placement=placement, removed_at=placed_at)
    placement_refuse_overlap(
        pump=pump, position=position, placed_at=placed_at, removed_at=None
    )
    placement = Placement(pump=pump, position=position, placed_at=placed_at)
    row_store(placement, by)
    return placement


def _refuse_place(pump: Pump, position: Position, placed_at: datetime) -> None:
    if pump.site_id != position.site_id:
        raise ValidationError({"pump": f"{pump} belongs to another site."})
    if pump.retired_on is not None:
        raise ValidationError({"pump": f"{pump} was retired on {pump.retired_on}."})
    out_on = position.out_of_service_on
    here = ZoneInfo(position.site.time_zone)
    if out_on is not None and placed_at.astimezone(here).date() >= out_on:
        raise ValidationError(
            {"position": f"{position} is out of service since {day_words(out_on)}."}
        )


@transaction.atomic
def pump_take_out(*, by: User, placement: Placement, removed_at: datetime) -> Placement:
    """Move a pump from its position to the store.

    Raises
    ------
    ValidationError
        When it left already, came later, or something was fitted to it there later.
    """
    require(by, "records.log_repair", site=placement.position.site)
    placement = Placement.objects.select_for_update().get(pk=placement.pk)
    if placement.removed_at is not None:
        raise ValidationError(
            {
                "removed_at": f"The pump left {placement.position} already on "
                f"{date_time(placement.removed_at)}."
            },
            code="removed_twice",
        )
    if removed_at < placement.placed_at:
        raise ValidationError(
            {
                "removed_at": f"The pump came to {placement.position} only on "
                f"{date_time(placement.placed_at)}."
            }
        )
    _refuse_before_later_fitting(placement, removed_at)
    placement.removed_at = removed_at
    row_store(placement, by)
    return placement


def _refuse_before_later_fitting(placement: Placement, removed_at: datetime) -> None:
    """A pump from which a position is taken away cannot be fitted there afterwards."""
    later = (
        FittedLife.objects.filter(
            pump=placement.pump_id,
            position=placement.position_id,
            fitted_at__gt=removed_at,
        )
        .select_related("pump")
        .order_by("-fitted_at")
        .first()
    )
    if later is None:
        return
    raise ValidationError(
        {
            "removed_at": f"{later} was fitted at {placement.position} on "
            f"{date_time(later.fitted_at)}: the pump left after that."
        },
        code="fitted_later",
    )
