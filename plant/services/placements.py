"""Moves of pumps between positions and the store."""

from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction

from plant.access import require
from plant.display import date_time
from plant.models import Placement, Position, Pump, User
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
        or they belong to different sites.
    """
    require(by, "records.log_repair", site=position.site)
    if pump.site_id != position.site_id:
        raise ValidationError({"pump": f"{pump} belongs to another site."})
    if pump.retired_on is not None:
        raise ValidationError({"pump": f"{pump} was retired on {pump.retired_on}."})
    for still_there in Placement.objects.select_for_update().filter(
        position=position, removed_at__isnull=True, placed_at__lte=placed_at
    ):
        pump_take_out(by=by, placement=still_there, removed_at=placed_at)
    for elsewhere in Placement.objects.select_for_update().filter(
        pump=pump, removed_at__isnull=True, placed_at__lte=placed_at
    ):
        pump_take_out(by=by, placement=elsewhere, removed_at=placed_at)
    placement_refuse_overlap(
        pump=pump, position=position, placed_at=placed_at, removed_at=None
    )
    placement = Placement(pump=pump, position=position, placed_at=placed_at)
    placement._history_user = by  # type: ignore[attr-defined]
    placement.full_clean()
    placement.save()
    return placement


@transaction.atomic
def pump_take_out(*, by: User, placement: Placement, removed_at: datetime) -> Placement:
    """Move a pump from its position to the store."""
    require(by, "records.log_repair", site=placement.position.site)
    if removed_at < placement.placed_at:
        raise ValidationError(
            {
                "removed_at": f"The pump came to {placement.position} only on "
                f"{date_time(placement.placed_at)}."
            }
        )
    placement.removed_at = removed_at
    placement._history_user = by  # type: ignore[attr-defined]
    placement.full_clean()
    placement.save()
    return placement
