"""A whole pump changed by a repair: which one left, which one came."""

from dataclasses import dataclass
from datetime import datetime

from django.db.models import QuerySet

from plant.choices import BEARINGS, Component
from plant.models import FittedLife, Placement, Pump
from records.models import Repair


@dataclass(frozen=True, slots=True)
class PumpChange:
    """The placement that ended at the stop, and the one begun at the hand-back."""

    left: Placement
    came: Placement

    def __str__(self) -> str:
        left, came = self.left.pump.serial_number, self.came.pump.serial_number
        return f"{left} out to the store, {came} in"


def pump_change(repair: Repair) -> PumpChange | None:
    """The change that this repair made, read from where the pumps stood.

    A pump moves at the stop and at the hand-back of its repair, to the minute; where
    the times were corrected later, the log of the tablet still names the new pump.
    """
    if repair.pump_id is None or repair.shop_work_of_id is not None:
        return None
    came = _came(repair)
    if came is None:
        return None
    left = _at(repair).filter(pump=repair.pump_id, removed_at__lte=came.placed_at)
    placement = left.order_by("removed_at").last()
    return PumpChange(placement, came) if placement else None


def lacks_on_record(pump: Pump, at: datetime) -> list[str]:
    """Which of seal and bearing a pump has not had on record since it came."""
    rows = FittedLife.objects.filter(pump=pump).exclude(removed_at__lte=at)
    known = set(rows.values_list("component", flat=True))
    lacks = [] if Component.SEAL in known else ["seal"]
    return lacks if known.intersection(BEARINGS) else [*lacks, "bearing"]


def _at(repair: Repair) -> QuerySet[Placement]:
    rows = Placement.objects.filter(position=repair.position_id)
    return rows.select_related("pump", "position")


def _came(repair: Repair) -> Placement | None:
    others = _at(repair).exclude(pump=repair.pump_id)
    if repair.stopped_at is None or repair.returned_at is None:
        return None
    left = _at(repair).filter(pump=repair.pump_id, removed_at=repair.stopped_at)
    if left.exists():
        return others.filter(placed_at=repair.returned_at).first()
    named = _named_by_tablet(repair)
    return others.filter(pump__in=named).order_by("placed_at").last() if named else None


def _named_by_tablet(repair: Repair) -> list[int]:
    """What a tablet said was put in; a merged log moves no pump."""
    if repair.pk is None:
        # As typed in a form, not stored yet.
        return []
    rows = repair.tablet_entries.exclude(answer="merge").values_list("payload")
    done = [payload.get("done") or {} for (payload,) in rows]
    named = [part.get("swap_to_pump") for part in done]
    return [pk for pk in named if isinstance(pk, int)]
