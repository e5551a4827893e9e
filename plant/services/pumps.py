"""Entering, changing and retiring pumps."""

from datetime import date, datetime, time
from typing import Any
from zoneinfo import ZoneInfo

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from plant.access import require
from plant.choices import WhyRemoved
from plant.display import date as day
from plant.models import FittedLife, Placement, Pump, Site, User
from plant.services.rows import row_store

CHANGE_REGISTER = "plant.change_register"


@transaction.atomic
def pump_register(*, by: User, site: Site, **details: Any) -> Pump:
    """Enter a new pump; `details` are further fields of Pump."""
    require(by, CHANGE_REGISTER, site=site)
    pump = Pump(site=site, **details)
    return _pump_store(pump, by)


@transaction.atomic
def pump_change(*, by: User, pump: Pump, **details: Any) -> Pump:
    """Change a pump; history keeps what stood there before."""
    require(by, CHANGE_REGISTER, site=pump.site)
    pump = Pump.objects.select_for_update().get(pk=pump.pk)
    for name, value in details.items():
        setattr(pump, name, value)
    return _pump_store(pump, by)


@transaction.atomic
def pump_retire(*, by: User, pump: Pump, retired_on: date) -> Pump:
    """Retire a pump from the store; components still in it end with it.

    Raises
    ------
    ValidationError
        While it stands at a position, when it is retired already, or when the day is
        before its last move, before a fitting or still to come.
    """
    require(by, CHANGE_REGISTER, site=pump.site)
    locked = Pump.objects.select_for_update(no_key=True, of=("self",))
    pump = locked.select_related("site").get(pk=pump.pk)
    _refuse_retirement(pump, retired_on)
    left_at = _left_its_last_position(pump)
    for life in pump.lives.still_in().select_for_update():
        _life_end(life, _moment(pump.site, retired_on), left_at, by)
    pump.retired_on = retired_on
    return _pump_store(pump, by)


def _refuse_retirement(pump: Pump, retired_on: date) -> None:
    if pump.retired_on is not None:
        raise ValidationError({"retired_on": f"Retired on {day(pump.retired_on)}."})
    zone = ZoneInfo(pump.site.time_zone)
    if retired_on > timezone.now().astimezone(zone).date():
        raise ValidationError({"retired_on": "That day is still to come."})
    still_at = Placement.objects.filter(pump=pump, removed_at__isnull=True).first()
    if still_at is not None:
        raise ValidationError(
            {
                "retired_on": f"It stands at {still_at.position}. Move it to the store "
                "first."
            }
        )
    last_move = _left_its_last_position(pump)
    if last_move is not None and retired_on < last_move.astimezone(zone).date():
        raise ValidationError(
            {
                "retired_on": "It left its last position on "
                f"{day(last_move.astimezone(zone).date())}."
            }
        )
    fitting = pump.lives.still_in().order_by("-fitted_at").first()
    if fitting is not None and retired_on < fitting.fitted_at.astimezone(zone).date():
        raise ValidationError(
            {
                "retired_on": f"{fitting.get_location_display()} was fitted on "
                f"{day(fitting.fitted_at.astimezone(zone).date())}."
            }
        )


def _left_its_last_position(pump: Pump) -> datetime | None:
    last = (
        Placement.objects.filter(pump=pump, removed_at__isnull=False)
        .order_by("-removed_at")
        .first()
    )
    return last.removed_at if last else None


def _moment(site: Site, on: date) -> datetime:
    """The end of that day at the site, or now: nothing of the day comes after it."""
    end = datetime.combine(on, time(23, 59), tzinfo=ZoneInfo(site.time_zone))
    return min(end, timezone.now())


def _life_end(
    life: FittedLife, retired_at: datetime, left_at: datetime | None, by: User
) -> None:
    """Close a life that the retirement cuts off; waiting in the store is no age."""
    started_at = life.started_at or life.fitted_at
    life.removed_at = max(retired_at, started_at)
    life.ended_at = max(left_at, started_at) if left_at else started_at
    life.why_removed = WhyRemoved.RETIRED
    row_store(life, by)


def _pump_store(pump: Pump, by: User) -> Pump:
    row_store(pump, by)
    return pump
