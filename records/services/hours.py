"""Readings of the running-hour meter, checked against those before and after."""

from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from plant.access import require
from plant.display import date, date_time, hours
from plant.models import Placement, Position, User
from plant.services.lives import duty_at
from records.limits import METER_TOO_HIGH, MOST_METER_HOURS, TOO_EARLY, is_too_early
from records.models import HourReading

# Readings are often noted by the day, so a meter may seem that much ahead of time.
SLACK_HOURS = 24.0
# A first reading below a tenth of what time in service suggests is asked back, once
# that time is long enough to tell.
FAR_BELOW = 0.1
LEAST_EXPECTED = 1000.0


@transaction.atomic
def hours_record(
    *,
    by: User,
    position: Position,
    read_at: datetime,
    meter_hours: float,
    is_new_meter: bool = False,
) -> HourReading:
    """Store a reading.

    Raises
    ------
    ValidationError
        When the meter would fall, or run faster than time, without being new, or the
        reading is of the future or taken already; code `low_first` asks back whether a
        first reading far below the time in service is that of a new meter.
    """
    require(by, "records.log_repair", site=position.site)
    # The row of the position is the lock: readings are compared with each other.
    Position.objects.select_for_update(no_key=True).get(pk=position.pk)
    _refuse_slips(read_at, meter_hours)
    readings = HourReading.objects.filter(position=position)
    same = readings.filter(read_at=read_at).first()
    if same is not None:
        raise ValidationError(
            {"read_at": f"At that time {hours(same.meter_hours)} stands already."}
        )
    before = readings.filter(read_at__lt=read_at).order_by("-read_at").first()
    after = readings.filter(read_at__gt=read_at).order_by("read_at").first()
    reading = HourReading(
        position=position,
        read_at=read_at,
        meter_hours=meter_hours,
        is_new_meter=is_new_meter,
    )
    if before is None and after is None and not is_new_meter:
        _ask_new_meter(position, reading)
    if before is not None and not is_new_meter:
        _refuse_impossible(before, reading)
    if after is not None and not after.is_new_meter:
        _refuse_impossible(reading, after)
    reading.full_clean()
    reading.save()
    return reading


def _refuse_slips(read_at: datetime, meter_hours: float) -> None:
    """Refuse what no reading can be, whatever stands beside it."""
    if read_at > timezone.now():
        raise ValidationError({"read_at": "This time is still to come."})
    if is_too_early(read_at):
        raise ValidationError({"read_at": TOO_EARLY})
    if meter_hours > MOST_METER_HOURS:
        raise ValidationError({"meter_hours": METER_TOO_HIGH})


def _ask_new_meter(position: Position, reading: HourReading) -> None:
    """Ask when the first reading is far below what the time in service suggests."""
    since = _in_service_since(position)
    if since is None or since >= reading.read_at:
        return
    duty = duty_at(position=position, at=reading.read_at)
    share = duty.running_share if duty else 1.0
    expected = (reading.read_at - since) / timedelta(hours=1) * share
    if expected < LEAST_EXPECTED or reading.meter_hours >= FAR_BELOW * expected:
        return
    raise ValidationError(
        {
            "is_new_meter": f"{position} is in service since {date(since)}, about "
            f"{hours(expected)} of running, and its first reading is "
            f"{hours(reading.meter_hours)}. Tick if the meter is new or was reset; "
            "else correct the reading."
        },
        code="low_first",
    )


def _in_service_since(position: Position) -> datetime | None:
    """The day it went into service, else its first pump, by the site's clock."""
    if position.in_service_on is not None:
        zone = ZoneInfo(position.site.time_zone)
        return datetime.combine(position.in_service_on, time(), tzinfo=zone)
    return (
        Placement.objects.filter(position=position)
        .order_by("placed_at")
        .values_list("placed_at", flat=True)
        .first()
    )


def _refuse_impossible(earlier: HourReading, later: HourReading) -> None:
    """Compare two neighbours on one meter."""
    span = (later.read_at - earlier.read_at) / timedelta(hours=1)
    if later.meter_hours < earlier.meter_hours:
        raise ValidationError(
            {
                "meter_hours": "A meter does not run backwards: "
                f"{hours(earlier.meter_hours)} on {date_time(earlier.read_at)}, "
                f"{hours(later.meter_hours)} on {date_time(later.read_at)}. "
                "If the meter was changed or reset, say so."
            },
            code="falling",
        )
    if later.meter_hours - earlier.meter_hours > span + SLACK_HOURS:
        raise ValidationError(
            {
                "meter_hours": "A meter does not run faster than time: between "
                f"{date_time(earlier.read_at)} and {date_time(later.read_at)} lie "
                f"{hours(span)}, not "
                f"{hours(later.meter_hours - earlier.meter_hours)}."
            },
            code="too_fast",
        )
