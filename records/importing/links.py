"""Finds which repair took a seal or bearing out, and which one fitted it.

A best effort from times: a file names no such link. The repair must be of the same
pump and its span must hold the moment; one about that very component goes first.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from plant.choices import Component
from plant.models import FittedLife
from records.choices import SUBUNIT_OF_ITEM, ChangeKind, Item, Subunit
from records.models import ComponentChange, Repair

AFTER_HAND_BACK = timedelta(days=1)
COMPONENT_OF_ITEM = {
    Item.SEAL: Component.SEAL,
    Item.RADIAL_BEARING: Component.RADIAL,
    Item.THRUST_BEARING: Component.THRUST,
}
CHUNK = 2000
# life, what happened to it -> whether the item matches, nearness, repair
Best = dict[tuple[int, str], tuple[bool, float, int]]


@dataclass(slots=True)
class PumpLives:
    """Moments at which components of one pump came and went, in order."""

    moments: list[tuple[datetime, str, int, str]] = field(default_factory=list)

    def within(
        self, begin: datetime, end: datetime
    ) -> list[tuple[datetime, str, int, str]]:
        low = bisect_left(self.moments, begin, key=lambda m: m[0])
        return self.moments[low : bisect_right(self.moments, end, key=lambda m: m[0])]


def changes_link(
    *, sites: Iterable[str], new_repairs: set[int], new_lives: set[int]
) -> int:
    """Link lives and repairs of which at least one came with this import."""
    names = list(sites)
    lives = _lives(names)
    if not lives:
        return 0
    best: Best = {}
    repairs = Repair.objects.not_void().filter(site__name__in=names, pump__in=lives)
    zones: dict[str, ZoneInfo] = {}
    for row in (
        repairs.order_by("pk")
        .values(
            "pk",
            "pump_id",
            "reported_at",
            "stopped_at",
            "returned_at",
            "item",
            "site__time_zone",
        )
        .iterator(chunk_size=CHUNK)
    ):
        name = row["site__time_zone"]
        begin, end = _span(row, zones.setdefault(name, ZoneInfo(name)))
        for moment, change, life, component in lives[row["pump_id"]].within(begin, end):
            if row["pk"] in new_repairs or life in new_lives:
                _offer(best, row, moment, change, life, component)
    return _changes_store(names, best)


def _changes_store(names: list[str], best: Best) -> int:
    taken = set(
        ComponentChange.objects.filter(repair__site__name__in=names).values_list(
            "life_id", "change"
        )
    )
    links = [
        ComponentChange(repair_id=repair, life_id=life, change=change)
        for (life, change), (_, _, repair) in best.items()
        if (life, change) not in taken
    ]
    ComponentChange.objects.bulk_create(links, batch_size=CHUNK)
    return len(links)


def _lives(names: list[str]) -> dict[int, PumpLives]:
    lives: dict[int, PumpLives] = {}
    rows = FittedLife.objects.filter(pump__site__name__in=names).order_by("pk")
    for pk, pump, component, fitted_at, removed_at in rows.values_list(
        "pk", "pump_id", "component", "fitted_at", "removed_at"
    ).iterator(chunk_size=CHUNK):
        moments = lives.setdefault(pump, PumpLives()).moments
        moments.append((fitted_at, ChangeKind.IN, pk, component))
        if removed_at is not None:
            moments.append((removed_at, ChangeKind.OUT, pk, component))
    for of_pump in lives.values():
        of_pump.moments.sort()
    return lives


def _span(row: Mapping[str, Any], zone: ZoneInfo) -> tuple[datetime, datetime]:
    """From the day of the report, since days are often given without a time."""
    first = min(row["reported_at"], row["stopped_at"] or row["reported_at"])
    begin = datetime.combine(first.astimezone(zone).date(), time.min, zone)
    last = row["returned_at"] or row["stopped_at"] or row["reported_at"]
    return begin, last + AFTER_HAND_BACK


def _offer(
    best: Best,
    row: Mapping[str, Any],
    moment: datetime,
    change: str,
    life: int,
    component: str,
) -> None:
    matches = COMPONENT_OF_ITEM.get(row["item"]) == component
    if not matches and not _opens_pump(row["item"]):
        return
    distance = abs((moment - row["reported_at"]).total_seconds())
    offer = (matches, -distance, row["pk"])
    if offer > best.get((life, change), (False, float("-inf"), 0)):
        best[life, change] = offer


def _opens_pump(item: str) -> bool:
    """Whether work on this item can bring seals and bearings out as well."""
    return not item or SUBUNIT_OF_ITEM.get(item) == Subunit.PUMP_UNIT
