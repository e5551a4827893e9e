"""Finding the position or pump that a repair is about."""

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from django.db.models import Max, Q
from django.db.models.functions import Coalesce
from django.utils import timezone

from plant.models import Position, Pump, User
from plant.selectors.positions import with_standing_pump
from plant.selectors.pumps import with_position

if TYPE_CHECKING:
    from plant.selectors.positions import ListedPosition
    from plant.selectors.pumps import ListedPump

LIMIT = 25
# Sorts positions without a repair behind those with one, on both engines.
LONG_AGO = datetime(1900, 1, 1, tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class Found:
    """Matches, those with the newest repair first; `more` were left out."""

    positions: "list[ListedPosition]"
    pumps: "list[ListedPump]"


def pumps_found(*, user: User, text: str) -> Found:
    """Positions by tag, service or standing pump; pumps of the store by serial."""
    positions = with_standing_pump(
        Position.objects.visible_to(user), timezone.localdate()
    )
    pumps = with_position(Pump.objects.visible_to(user)).filter(
        position_pk__isnull=True, retired_on__isnull=True
    )
    if text:
        positions = positions.filter(
            Q(tag__icontains=text)
            | Q(service__icontains=text)
            | Q(pump_serial__icontains=text)
        )
        pumps = pumps.filter(serial_number__icontains=text)
    else:
        pumps = pumps.none()
    recent = positions.annotate(
        last_reported=Coalesce(Max("repairs__reported_at"), LONG_AGO)
    )
    newest_first = recent.select_related("site", "area").order_by(
        "-last_reported", "tag"
    )
    return Found(
        positions=list(newest_first[:LIMIT]),
        pumps=list(pumps.select_related("site").order_by("serial_number")[:LIMIT]),
    )
