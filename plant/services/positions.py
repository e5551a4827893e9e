"""Entering and changing positions and the duty that holds at them."""

from datetime import date
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction

from plant.access import require
from plant.models import Area, DutyPeriod, Position, SpareGroup, User

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
    position.out_of_service_on = out_of_service_on
    _store(position, by)
    return position


@transaction.atomic
def duty_period_set(
    *, by: User, position: Position, starts_on: date, **details: Any
) -> DutyPeriod:
    """Say what holds at a position from a day on; the same day again is a change.

    Lives keep the plan and duty that were copied when they were fitted.
    """
    require(by, CHANGE_REGISTER, site=position.site)
    period = DutyPeriod.objects.filter(position=position, starts_on=starts_on).first()
    period = period or DutyPeriod(position=position, starts_on=starts_on)
    for name, value in details.items():
        setattr(period, name, value)
    _store(period, by)
    return period


def _position_store(
    position: Position, by: User, spare_group_name: str, needed_running: int | None
) -> Position:
    position.spare_group = _spare_group(position, spare_group_name, needed_running)
    _store(position, by)
    return position


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


def _store(row: Position | DutyPeriod, by: User) -> None:
    row._history_user = by  # type: ignore[union-attr]
    row.full_clean()
    row.save()
