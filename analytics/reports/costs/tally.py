"""One pass over the repairs of a period, added up by many groupings at once."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from operator import itemgetter
from typing import Any

from django.db.models import QuerySet

from analytics.reports.costs.amounts import Booked
from analytics.reports.costs.basis import Basis
from analytics.reports.costs.groupings import FIELDS, CostGrouping
from analytics.reports.costs.question import CostQuestion
from plant.models import Position
from records.models import CostLine, Repair
from records.models.repair import RepairQuerySet
from records.selectors.costs import booked_year, cost_cents
from records.selectors.part_named import NO_PART, parts_named

# Fields of a repair as the database has them. Area and part are looked up.
STORED = ("site", "position", "pump", "item", "failure_mode", "mechanism", "cause")
IN_TURN = (*STORED, "position__area", "part")
CHUNK = 5_000
# Six sums in whole cents, in the order of `Amounts`.
Cents = list[int]
Key = tuple[Any, ...]


@dataclass(slots=True)
class Group:
    """What belongs to one row of a table."""

    site: int
    """Of one of its repairs: names of tags and areas are told apart by it."""
    repairs: int = 0
    cents: dict[Booked, Cents] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Tally:
    """Groups by their key, for each grouping; `bare` repairs have no line at all."""

    groups: dict[CostGrouping, dict[Key, Group]]
    bare: int


def tally_of(
    question: CostQuestion,
    lines: QuerySet[CostLine],
    groupings: Sequence[CostGrouping],
) -> Tally:
    """Add up lines and count repairs for all of the groupings.

    Shop work adds its cost and is not counted. By event repairs without any line
    are counted too. The sums of each repair are read first and then meet its facts:
    whatever is grouped by, each repair and each line is read once.
    """
    sums = _sums_by_repair(question, lines)
    repairs = _repairs(question, lines)
    groups: dict[CostGrouping, dict[Key, Group]] = {by: {} for by in groupings}
    plan = [(groups[by], _key_of(by)) for by in groupings]
    bare = 0
    for key, is_own, *facts in _facts(repairs, groupings):
        of_repair = sums.get(key, ())
        bare += is_own and not of_repair
        for of_grouping, key_of in plan:
            own = key_of(facts)
            group = of_grouping.get(own)
            if group is None:
                group = of_grouping[own] = Group(facts[0])
            group.repairs += is_own
            for booked, cents in of_repair:
                _add(group.cents, booked, cents)
    return Tally(groups, bare)


def _add(found: dict[Booked, Cents], booked: Booked, cents: Cents) -> None:
    so_far = found.get(booked)
    if so_far is None:
        found[booked] = cents.copy()
        return
    for place, more in enumerate(cents):
        if more:
            so_far[place] += more


def _sums_by_repair(
    question: CostQuestion, lines: QuerySet[CostLine]
) -> dict[int, list[tuple[Booked, Cents]]]:
    """By the key of the repair: year and currency, and the sums booked in them."""
    by = ["repair_id"]
    plain = question.treatment.is_plain
    if not plain:
        lines = lines.annotate(year=booked_year())
        by.append("year")
    found: dict[int, list[tuple[Booked, Cents]]] = {}
    seen: dict[Booked, Booked] = {}
    for repair, *years_and_currency, a, b, c, d, e, f in cost_cents(lines, *by):
        booked = (years_and_currency[-1], 0 if plain else years_and_currency[0])
        booked = seen.setdefault(booked, booked)
        cents = [a or 0, b or 0, c or 0, d or 0, e or 0, f or 0]
        found.setdefault(repair, []).append((booked, cents))
    return found


def _repairs(question: CostQuestion, lines: QuerySet[CostLine]) -> RepairQuerySet:
    window = question.scope.window
    if question.basis is Basis.EVENT:
        return question.repairs(window.start, window.end)
    return Repair.objects.filter(pk__in=lines.order_by().values("repair"))


def _facts(
    repairs: RepairQuerySet, groupings: Sequence[CostGrouping]
) -> Iterator[list[Any]]:
    """Key, whether it is no shop work, and what `IN_TURN` names."""
    fields = {name for by in groupings for name in FIELDS[by]}
    parts = parts_named(repairs) if "part" in fields else {}
    areas: dict[int, int] = {}
    if "position__area" in fields:
        here = Position.objects.filter(pk__in=repairs.order_by().values("position"))
        areas = dict(here.values_list("pk", "area"))
    rows = repairs.order_by().values_list("pk", "shop_work_of", *STORED)
    for key, shop_work_of, *stored in rows.iterator(CHUNK):
        area, part = areas.get(stored[1]), parts.get(key, NO_PART)
        yield [key, shop_work_of is None, *stored, area, part]


def _key_of(grouping: CostGrouping) -> Callable[[list[Any]], Key]:
    places = [IN_TURN.index(name) for name in FIELDS[grouping]]
    if len(places) > 1:
        several: Callable[[list[Any]], Key] = itemgetter(*places)
        return several
    (place,) = places
    return lambda facts: (facts[place],)
