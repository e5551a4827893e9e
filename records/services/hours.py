"""Readings of the running-hour meter, checked against those before and after."""

from datetime import datetime, timedelta

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from plant.access import require
from plant.display import date_time, hours
from plant.models import Position, User
from records.models import HourReading

# Readings are often noted by the day, so a meter may seem that much ahead of time.
SLACK_HOURS = 24.0


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
        reading is of the future or taken already.
    """
    require(by, "records.log_repair", site=position.site)
    # The row of the position is the lock: readings are compared with each other.
    Position.objects.select_for_update(no_key=True).get(pk=position.pk)
    if read_at > timezone.now():
        raise ValidationError({"read_at": "This time is still to come."})
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
    if before is not None and not is_new_meter:
        _refuse_impossible(before, reading)
    if after is not None and not after.is_new_meter:
        _refuse_impossible(reading, after)
    reading.full_clean()
    reading.save()
    return reading


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
