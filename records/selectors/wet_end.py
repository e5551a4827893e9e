"""Repairs that opened the wet end of a pump: readings before and after do not mix."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any

from django.db.models import Exists, F, Max, OuterRef, Q, QuerySet, TextField
from django.db.models.functions import Cast, Coalesce

from plant.choices import Mounting
from plant.models import Placement
from plant.models.position import PositionQuerySet
from records.check_choices import CheckKind, CheckStage
from records.choices import Activity, Item, RepairState
from records.models import Repair, SettingCheck

# Work on these opens the casing, or takes the rotor out of it: common practice.
WET_END = (
    Item.IMPELLER,
    Item.WEAR_RING,
    Item.THROAT_BUSHING,
    Item.CASING,
    Item.COVER,
    Item.GASKET,
    Item.SHAFT,
    Item.SLEEVE,
    Item.SEAL,
    Item.PUMP_UNIT,
)
# Between two bearings the rotor stays in the casing while a bearing is renewed.
ROTOR_OUT = (Item.RADIAL_BEARING, Item.THRUST_BEARING)
LOOKED_AT = (Activity.CHECK, Activity.SERVICE, Activity.TEST, Activity.INSPECTION)
SET_WITHOUT_OPENING = (Item.IMPELLER, Item.WEAR_RING)
CLEARANCES = (CheckKind.RUNNING_CLEARANCE, CheckKind.WEAR_RING)


@dataclass(frozen=True, slots=True)
class Openings:
    """When the wet end was last opened: of pumps, and where no pump was named."""

    of_pump: dict[int, int]
    at_position: dict[int, int]

    def last(self, pump: int, position: int) -> int | None:
        """Microseconds since 1970; None where no opening is on record."""
        known = self.of_pump.get(pump), self.at_position.get(position)
        return max((one for one in known if one is not None), default=None)


def wet_end_work() -> QuerySet[Any]:
    """Repairs after which a pump's clearances are no longer those of before.

    `opened_until` is the hand-back, else the stop or report.
    """
    as_text = Cast("also_renewed", TextField())
    renewed = Q()
    for item in WET_END:
        renewed |= Q(renewed_text__contains=f'"{item.value}"')
    measured = SettingCheck.objects.filter(
        repair=OuterRef("pk"),
        kind__in=CLEARANCES,
        stage=CheckStage.LEFT,
        value__isnull=False,
    )
    opened = (
        (Q(item__in=WET_END) & ~Q(activity__in=[*LOOKED_AT, Activity.ADJUST]))
        | Q(item__in=SET_WITHOUT_OPENING, activity=Activity.ADJUST)
        | (
            Q(item__in=ROTOR_OUT)
            & ~Q(activity__in=[*LOOKED_AT, Activity.ADJUST])
            & ~Q(pump__mounting=Mounting.BETWEEN)
        )
        | Q(activity=Activity.OVERHAUL)
        | renewed
        | Q(Exists(measured))
    )
    return (
        Repair.objects.exclude(state=RepairState.VOID)
        .annotate(
            renewed_text=as_text,
            opened_until=Coalesce("returned_at", "stopped_at", "reported_at"),
        )
        .filter(opened)
    )


def openings(
    positions: PositionQuerySet, *, until: datetime, since: datetime | None = None
) -> Openings:
    """The last opening of each pump that stood there, one query.

    Openings before `since` are not looked for: no reading from then on is older.
    """
    own = positions.order_by().values("pk")
    pumps = Placement.objects.filter(position__in=own).values("pump")
    work = wet_end_work().filter(
        Q(pump__in=pumps) | Q(pump=None, position__in=own), opened_until__lte=until
    )
    if since is not None:
        work = work.filter(opened_until__gte=since)
    rows = (
        work.order_by()
        .values("pump", at_position=F("position"))
        .annotate(last=Max("opened_until"))
        .values_list("pump", "at_position", "last")
    )
    found = Openings({}, {})
    for pump, position, last in rows:
        known, key = (
            (found.at_position, position) if pump is None else (found.of_pump, pump)
        )
        known[key] = max(known.get(key, 0), _microseconds(last))
    return found


def last_opening(*, pump: int, position: int, until: datetime) -> Repair | None:
    """The repair that last opened the wet end of a pump at a position."""
    return (
        wet_end_work()
        .filter(Q(pump=pump) | Q(pump=None, position=position), opened_until__lte=until)
        .order_by("-opened_until", "-pk")
        .first()
    )


def _microseconds(moment: datetime) -> int:
    return round((moment - datetime.fromtimestamp(0, UTC)) / timedelta(microseconds=1))
