"""What a pump did as new: its acceptance points entered, changed and removed."""

from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from plant.access import require
from plant.models import AcceptancePoint, Pump, User
from plant.ratings.hydraulics import pump_efficiency
from plant.ratings.rating import RatingError
from plant.services.pumps import CHANGE_REGISTER
from plant.services.rows import row_store


@transaction.atomic
def acceptance_point_add(*, by: User, pump: Pump, **details: Any) -> AcceptancePoint:
    """Enter one point; `details` are further fields of AcceptancePoint.

    Raises
    ------
    ValidationError
        For a flow that has a point already, a value that is not above zero, more power
        out than in, or a day to come.
    """
    require(by, CHANGE_REGISTER, site=pump.site)
    return _store(AcceptancePoint(pump=pump, **details), by)


@transaction.atomic
def acceptance_point_change(
    *, by: User, point: AcceptancePoint, **details: Any
) -> AcceptancePoint:
    """Change a point; history keeps what stood there before. Refuses as when added."""
    require(by, CHANGE_REGISTER, site=point.pump.site)
    locked = AcceptancePoint.objects.select_for_update(of=("self",))
    point = locked.select_related("pump__site").get(pk=point.pk)
    for name, value in details.items():
        setattr(point, name, value)
    return _store(point, by)


@transaction.atomic
def acceptance_point_remove(*, by: User, point: AcceptancePoint) -> None:
    """Take a point away; history keeps what it was and who removed it."""
    require(by, CHANGE_REGISTER, site=point.pump.site)
    point._history_user = by  # type: ignore[attr-defined]
    point.delete()


def _store(point: AcceptancePoint, by: User) -> AcceptancePoint:
    _refuse_a_flow_that_is_taken(point)
    _refuse_what_no_test_gives(point)
    row_store(point, by)
    return point


def _refuse_a_flow_that_is_taken(point: AcceptancePoint) -> None:
    others = AcceptancePoint.objects.filter(
        pump_id=point.pump_id, flow_m3_h=point.flow_m3_h
    )
    if others.exclude(pk=point.pk).exists():
        raise ValidationError(
            {
                "flow_m3_h": f"At {point.flow_m3_h:g} m³/h this pump has a "
                "point already: change that one."
            }
        )


def _refuse_what_no_test_gives(point: AcceptancePoint) -> None:
    if point.measured_on and point.measured_on > timezone.localdate():
        raise ValidationError({"measured_on": "That day is still to come."})
    try:
        pump_efficiency(
            point.flow_m3_h, point.head_m, point.density_kg_m3, point.shaft_power_kw
        )
    except RatingError as refusal:
        raise ValidationError({"shaft_power_kw": str(refusal)}) from None
