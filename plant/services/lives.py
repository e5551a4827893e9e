"""Fitting and removing seals and bearings: openings and closings of lives."""

from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Q

from plant.access import require
from plant.choices import LOCATIONS, WhyRemoved
from plant.display import date, date_time
from plant.models import DutyPeriod, FittedLife, Placement, Position, Pump, User
from plant.services.rows import row_store
from plant.services.spans import first_overlap


def position_of_pump(*, pump: Pump, at: datetime) -> Position | None:
    """Where a pump stood at a moment; None in the store."""
    placement = (
        Placement.objects.filter(pump=pump, placed_at__lte=at)
        .filter(Q(removed_at__isnull=True) | Q(removed_at__gt=at))
        .select_related("position__site")
        .first()
    )
    return placement.position if placement else None


def duty_at(*, position: Position, at: datetime) -> DutyPeriod | None:
    """The dated facts of a position that held on that day, by the site's clock."""
    day = at.astimezone(ZoneInfo(position.site.time_zone)).date()
    return (
        DutyPeriod.objects.filter(position=position, starts_on__lte=day)
        .order_by("-starts_on")
        .first()
    )


def life_refuse_overlap(
    *,
    pump: Pump,
    location: str,
    fitted_at: datetime,
    removed_at: datetime | None,
    ignore: FittedLife | None = None,
) -> None:
    """Refuse a second component in a place that is taken."""
    rows = FittedLife.objects.filter(pump=pump, location=location)
    other = first_overlap(
        rows.exclude(pk__in=[ignore.pk] if ignore else []),
        starts_at=fitted_at,
        ends_at=removed_at,
        start_field="fitted_at",
        end_field="removed_at",
    )
    if other is None:
        return
    until = date_time(other.removed_at) if other.removed_at else "today"
    raise ValidationError(
        {
            "location": f"{other.get_location_display()} of {pump} is taken from "
            f"{date_time(other.fitted_at)} until {until}. Take that one out first."
        },
        code="life_overlap",
    )


@transaction.atomic
def life_fit(
    *,
    by: User,
    pump: Pump,
    component: str,
    location: str,
    fitted_at: datetime,
    **details: Any,
) -> FittedLife:
    """Open a life; plan and duty of the position are copied from that day.

    `details` are further fields of FittedLife, as typed by the user.
    """
    require(by, "records.log_repair", site=pump.site)
    if location not in LOCATIONS.get(component, ()):
        raise ValidationError(
            {"location": "Choose a place where such a component stands."}
        )
    # Two fittings of one pump at once would each find its places free.
    Pump.objects.select_for_update(no_key=True).get(pk=pump.pk)
    life_refuse_overlap(
        pump=pump, location=location, fitted_at=fitted_at, removed_at=None
    )
    life = FittedLife(
        pump=pump,
        component=component,
        location=location,
        fitted_at=fitted_at,
        **details,
    )
    life_copy_duty(life, position_of_pump(pump=pump, at=fitted_at))
    row_store(life, by)
    return life


def life_copy_duty(life: FittedLife, position: Position | None) -> None:
    """Copy what the position asks of the component at its fitting."""
    if position is None:
        return
    life.position = position
    life.liquid = position.liquid
    life.service = position.service
    life.temperature_c = position.temperature_c
    duty = duty_at(position=position, at=life.fitted_at)
    if duty is None:
        return
    life.running_share = duty.running_share
    if life.is_seal and not life.piping_plan:
        life.piping_plan = duty.piping_plan


@transaction.atomic
def life_remove(
    *,
    by: User,
    life: FittedLife,
    removed_at: datetime,
    why_removed: str,
    defect_detected: bool | None = None,
    condition_found: str = "",
    ended_at: datetime | None = None,
    removed_hours: float | None = None,
) -> FittedLife:
    """Close a life with the facts from which its ending is derived.

    `ended_at` is the failure as reported or, if sound, the stop; without it the
    removal stands for it.
    """
    require(by, "records.log_repair", site=life.pump.site)
    life = FittedLife.objects.select_for_update().select_related("pump").get(pk=life.pk)
    if life.removed_at is not None:
        raise ValidationError(
            {"life": f"{life} was already taken out on {date_time(life.removed_at)}."},
            code="removed_twice",
        )
    if removed_at < life.fitted_at:
        raise ValidationError(
            {
                "removed_at": f"Fitted on {date_time(life.fitted_at)}: later than the "
                "time you gave."
            }
        )
    if why_removed == WhyRemoved.DEFECT and defect_detected is False:
        raise ValidationError(
            {"why_removed": "No defect was detected, so a defect is not why it left."}
        )
    life.removed_at = removed_at
    life.ended_at = max(ended_at, life.fitted_at) if ended_at else None
    life.why_removed = why_removed
    life.defect_detected = defect_detected
    life.condition_found = condition_found
    life.removed_hours = removed_hours
    row_store(life, by)
    return life


@transaction.atomic
def life_put_back(*, by: User, life: FittedLife) -> FittedLife:
    """Undo a removal that was entered in error."""
    require(by, "records.log_repair", site=life.pump.site)
    pump = Pump.objects.select_for_update(no_key=True).get(pk=life.pump_id)
    FittedLife.objects.select_for_update().get(pk=life.pk)
    life.refresh_from_db()
    if pump.retired_on is not None:
        raise ValidationError(
            {
                "pump": f"{life} cannot be put back: {pump} was retired on "
                f"{date(pump.retired_on)}, and nothing stands in a retired pump."
            },
            code="pump_retired",
        )
    life_refuse_overlap(
        pump=life.pump,
        location=life.location,
        fitted_at=life.fitted_at,
        removed_at=None,
        ignore=life,
    )
    life.removed_at = life.ended_at = None
    life.why_removed = life.condition_found = ""
    life.defect_detected = life.removed_hours = None
    row_store(life, by)
    return life
