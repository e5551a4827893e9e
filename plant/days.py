"""The days that a log of pumps can hold, and how reading survives any other.

A slip such as 0026 for 2026 is refused where it is typed. A row that came in some other
way is cut to the widest span that the statistics can count in: nanoseconds in 64 bits.
"""

from datetime import UTC, date, datetime

from django.core.exceptions import ValidationError
from django.db import models

FIRST_DAY = date(1900, 1, 1)
LAST_DAY = date(2100, 12, 31)
FIRST_COUNTED = date(1900, 1, 1)
LAST_COUNTED = date(2200, 1, 1)
FIRST_MOMENT = datetime(1900, 1, 1, tzinfo=UTC)
LAST_MOMENT = datetime(2200, 1, 1, tzinfo=UTC)
OUT_OF_RANGE = f"A year from {FIRST_DAY.year} to {LAST_DAY.year} is expected."


def refuse_far_day(day: date | None) -> None:
    """Refuse a day, or a moment on a day, that can only be a slip.

    Raises
    ------
    ValidationError
        Before 1900 or after 2100.
    """
    if day is not None and not FIRST_DAY.year <= day.year <= LAST_DAY.year:
        raise ValidationError(OUT_OF_RANGE, code="far_day")


def refuse_far_days(row: models.Model) -> None:
    """Refuse any such day among the fields of `row`, each beside its field."""
    refused: dict[str, ValidationError] = {}
    for field in row._meta.fields:
        # Every moment is a day to Django too: a DateTimeField is a DateField.
        if isinstance(field, models.DateField):
            try:
                refuse_far_day(getattr(row, field.attname))
            except ValidationError as error:
                refused[field.name] = error
    if refused:
        raise ValidationError(refused)


def day_counted(day: date) -> date:
    """The nearest day that the statistics can count."""
    return min(max(day, FIRST_COUNTED), LAST_COUNTED)


def moment_counted(moment: datetime) -> datetime:
    """The nearest moment that the statistics can count."""
    return min(max(moment, FIRST_MOMENT), LAST_MOMENT)
