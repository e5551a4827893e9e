"""Readings stored, struck, and the levels at which a person wants to be warned."""

import math
import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from plant.access import require
from plant.forms.numbers import plain_number
from plant.models import Position, User
from records.limits import TOO_EARLY, is_too_early
from records.models import Reading, WarningLevel
from records.reading_catalogue import KINDS
from records.reading_choices import Quantity
from records.selectors.repairs import pump_at
from records.services.hours import hours_record

CLOCK_SLACK = timedelta(minutes=5)


@dataclass(frozen=True, slots=True)
class ReadingEntry:
    """One value as typed; a `key` made where it was typed stores it once."""

    quantity: str
    value: str
    unit: str
    point: str = ""
    key: uuid.UUID | None = None


class ReadingRefused(ValidationError):
    """A refusal that names the entry by its place in the list."""

    def __init__(self, message: str, index: int) -> None:
        super().__init__(message)
        self.index = index


@transaction.atomic
def round_record(
    *,
    by: User,
    position: Position,
    read_at: datetime,
    entries: Sequence[ReadingEntry],
    running_state: str,
    instrument: str = "",
    meter_hours: float | None = None,
    is_new_meter: bool = False,
) -> int:
    """Store one round at a pump, its hour meter included; how many values it was.

    Raises
    ------
    ValidationError
        As `readings_record` and `hours_record`, whose field names it keeps.
    """
    count = 0
    if meter_hours is not None:
        hours_record(
            by=by,
            position=position,
            read_at=read_at,
            meter_hours=meter_hours,
            is_new_meter=is_new_meter,
        )
        count = 1
    if entries or not count:
        count += len(
            readings_record(
                by=by,
                position=position,
                read_at=read_at,
                entries=entries,
                running_state=running_state,
                instrument=instrument,
            )
        )
    return count


@transaction.atomic
def readings_record(
    *,
    by: User,
    position: Position,
    read_at: datetime,
    entries: Sequence[ReadingEntry],
    running_state: str,
    instrument: str = "",
) -> list[Reading]:
    """Store readings taken together, all or nothing.

    Raises
    ------
    ValidationError
        When nothing was read or the time cannot be; ReadingRefused for one value.
    """
    require(by, "records.log_repair", site=position.site)
    _refuse_time(read_at)
    if not entries:
        raise ValidationError("Type at least one reading.")
    pump = pump_at(position=position, at=read_at)
    rows = []
    for index, entry in enumerate(entries):
        reading = Reading(
            key=entry.key or uuid.uuid4(),
            position=position,
            pump=pump,
            read_at=read_at,
            quantity=entry.quantity,
            point=entry.point,
            value=_stored_value(entry, index),
            entered_value=entry.value.strip(),
            entered_unit=entry.unit,
            running_state=running_state,
            instrument=instrument,
            entered_by=by,
        )
        reading.full_clean(validate_unique=False)
        rows.append(reading)
    known = set(
        Reading.objects.filter(key__in=[row.key for row in rows]).values_list(
            "key", flat=True
        )
    )
    return Reading.objects.bulk_create([row for row in rows if row.key not in known])


def _refuse_time(read_at: datetime) -> None:
    if read_at > timezone.now() + CLOCK_SLACK:
        raise ValidationError({"read_at": "This time is still to come."})
    if is_too_early(read_at):
        raise ValidationError({"read_at": TOO_EARLY})


def _stored_value(entry: ReadingEntry, index: int) -> float:
    kind = KINDS.get(entry.quantity)
    if kind is None or entry.point not in kind.points or entry.unit not in kind.units:
        raise ReadingRefused("This is read elsewhere or in another unit.", index)
    try:
        typed = float(plain_number(entry.value))
    except ValidationError as error:
        raise ReadingRefused(" ".join(error.messages), index) from None
    except ValueError:
        raise ReadingRefused("Type a number, such as 4.2.", index) from None
    value = kind.stored(typed, entry.unit)
    if not math.isfinite(value) or not kind.least <= value <= kind.most:
        raise ReadingRefused(
            f"{entry.value} {entry.unit} is beyond what a pump can have "
            f"({kind.least:g} to {kind.most:g} {kind.unit}): check number and unit.",
            index,
        )
    return value


@transaction.atomic
def reading_strike(*, by: User, reading: Reading, reason: str) -> None:
    """Leave a wrong reading out; it is kept, with the reason.

    Raises
    ------
    ValidationError
        Without a reason, or when it was struck before.
    """
    require(by, "records.log_repair", site=reading.position.site)
    if not reason.strip():
        raise ValidationError({"reason": "Say why this reading is wrong."})
    rows = Reading.objects.filter(pk=reading.pk, struck_reason="")
    if not rows.update(struck_reason=f"{by}: {reason.strip()}"[:200]):
        raise ValidationError("This reading was struck already.")


@transaction.atomic
def warning_level_set(
    *,
    by: User,
    position: Position,
    quantity: str,
    warn_below: float | None,
    warn_above: float | None,
) -> WarningLevel | None:
    """Preset the level of one quantity; without both ends the default holds again."""
    require(by, "records.change_limits", site=position.site)
    # One at a time per position: two people may set the first level at once.
    Position.objects.select_for_update(no_key=True).get(pk=position.pk)
    level = WarningLevel.objects.filter(position=position, quantity=quantity).first()
    if warn_below is None and warn_above is None:
        if level is not None:
            level._history_user = by  # type: ignore[attr-defined]
            level.delete()
        return None
    level = level or WarningLevel(position=position, quantity=Quantity(quantity))
    level.warn_below, level.warn_above = warn_below, warn_above
    level._history_user = by  # type: ignore[attr-defined]
    level.full_clean()
    level.save()
    return level
