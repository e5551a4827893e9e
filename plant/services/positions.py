"""Entering and changing positions and the duty that holds at them."""

from datetime import date, datetime, time
from typing import Any
from zoneinfo import ZoneInfo

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Q

from plant.access import require
from plant.days import day_counted
from plant.display import date_time
from plant.models import Area, DutyPeriod, Placement, Position, SpareGroup, User
from plant.services.rows import row_store

CHANGE_REGISTER = "plant.change_register"


@transaction.atomic
def position_register(
    *,
    by: User,
    area: Area,
    spare_group_name: str = "",
    needed_running: int | None = None,
    **details: Any,
) -> Position:
    """Enter a new position; `details` are further fields of Position."""
    require(by, CHANGE_REGISTER, site=area.site)
    position = Position(area=area, site=area.site, **details)
    return _position_store(position, by, spare_group_name, needed_running)


@transaction.atomic
def position_change(
    *,
    by: User,
    position: Position,
    area: Area,
    spare_group_name: str = "",
    needed_running: int | None = None,
    **details: Any,
) -> Position:
    """Change a position within its site; history keeps what stood there before."""
    require(by, CHANGE_REGISTER, site=position.site)
    if area.site_id != position.site_id:
        raise ValidationError({"area": "A position stays at its site."})
    position = Position.objects.select_for_update().get(pk=position.pk)
    position.area = area
    out_on = details.get("out_of_service_on")
    if out_on != position.out_of_service_on:
        _refuse_while_a_pump_stands_there(position, out_on)
    for name, value in details.items():
        setattr(position, name, value)
    return _position_store(position, by, spare_group_name, needed_running)


@transaction.atomic
def position_take_out(
    *, by: User, position: Position, out_of_service_on: date
) -> Position:
    """Say from which day a position is no longer in service."""
    require(by, CHANGE_REGISTER, site=position.site)
    position = Position.objects.select_for_update().get(pk=position.pk)
    _refuse_while_a_pump_stands_there(position, out_of_service_on)
    position.out_of_service_on = out_of_service_on
    row_store(position, by)
    return position


@transaction.atomic
def duty_period_set(
    *, by: User, position: Position, starts_on: date, **details: Any
) -> DutyPeriod:
    """Say what holds at a position from a day on; the same day again is a change.

    Lives keep the plan and duty that were copied when they were fitted.
    """
    require(by, CHANGE_REGISTER, site=position.site)
    # Two people who store the same day at once: the second one changes that entry.
    positions = Position.objects.select_for_update(no_key=True)
    position = positions.get(pk=position.pk)
    period = DutyPeriod.objects.filter(position=position, starts_on=starts_on).first()
    period = period or DutyPeriod(position=position, starts_on=starts_on)
    for name, value in details.items():
        setattr(period, name, value)
    row_store(period, by)
    return period


def _position_store(
    position: Position, by: User, spare_group_name: str, needed_running: int | None
) -> Position:
    position.spare_group = _spare_group(position, spare_group_name, needed_running)
    row_store(position, by)
    return position


def _refuse_while_a_pump_stands_there(position: Position, on: date | None) -> None:
    """A position out of service holds no pump: its time would count nowhere."""
    if on is None:
        return
    zone = ZoneInfo(position.site.time_zone)
    day_over = datetime.combine(day_counted(on), time.max, tzinfo=zone)
    standing = (
        Placement.objects.filter(position=position)
        .filter(Q(removed_at__isnull=True) | Q(removed_at__gt=day_over))
        .select_related("pump")
        .order_by("-placed_at")
        .first()
    )
    if standing is None:
        return
    words = f"Pump {standing.pump} stands at {position}. Move it away first."
    if standing.removed_at:
        until = date_time(standing.removed_at)
        words = f"Pump {standing.pump} stood at {position} until {until}."
    raise ValidationError({"out_of_service_on": words}, code="pump_stands_there")


def _spare_group(
    position: Position, name: str, needed_running: int | None
) -> SpareGroup | None:
    """The group of that name at the position's site, made when it is new."""
    if not name:
        return None
    group, _made = SpareGroup.objects.get_or_create(site=position.site, name=name)
    if needed_running is not None and needed_running != group.needed_running:
        group.needed_running = needed_running
        group.full_clean()
        group.save()
    return group
