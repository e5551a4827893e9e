"""Sums of cost lines by unit of money."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, fields
from decimal import Decimal
from operator import attrgetter
from typing import Any

from analytics.money.treatment import MoneyTreatment

NOTHING = Decimal("0.00")
CENT = Decimal("0.01")
# The year and the currency of a sum; a year of None is one that nobody asked for.
Booked = tuple[str, int]


@dataclass(frozen=True, slots=True)
class Amounts:
    """Sums in one unit of money; the three kinds of cost are never added up.

    Restated amounts are not rounded: `cents` does that where they are shown.
    """

    repair_estimate: Decimal = NOTHING
    repair_booked: Decimal = NOTHING
    production_estimate: Decimal = NOTHING
    production_booked: Decimal = NOTHING
    environment_estimate: Decimal = NOTHING
    environment_booked: Decimal = NOTHING

    @property
    def repair_cost(self) -> Decimal:
        return self.repair_estimate + self.repair_booked

    @property
    def lost_production(self) -> Decimal:
        return self.production_estimate + self.production_booked

    @property
    def environment_safety(self) -> Decimal:
        return self.environment_estimate + self.environment_booked

    def times(self, factor: Decimal) -> "Amounts":
        return Amounts(*(amount * factor for amount in IN_TURN(self)))

    def minus(self, other: "Amounts") -> "Amounts":
        pairs = zip(IN_TURN(self), IN_TURN(other), strict=True)
        return Amounts(*(one - taken for one, taken in pairs))


SUMS = tuple(field.name for field in fields(Amounts))
IN_TURN = attrgetter(*SUMS)
NO_AMOUNTS = Amounts()


def added(amounts: Sequence[Amounts]) -> Amounts:
    """All of them together; field by field, as rows are many."""
    if len(amounts) == 1:
        return amounts[0]
    return Amounts(*(sum(f, NOTHING) for f in zip(*map(IN_TURN, amounts), strict=True)))


@dataclass(frozen=True, slots=True)
class CostRow:
    """One group, with its amounts by unit of money.

    `key` is what the database calls the group, one value for each field of the
    grouping.
    """

    key: tuple[Any, ...]
    names: tuple[str, ...]
    position: int | None
    repairs: int
    amounts: dict[str, Amounts]

    def amounts_in(self, unit: str) -> Amounts:
        return self.amounts.get(unit, NO_AMOUNTS)


def cents(amount: Decimal) -> Decimal:
    """An amount as it is shown and written: two places, of zero too."""
    return amount.quantize(CENT)


def cents_in_units(
    cents: Mapping[Booked, Sequence[int]], treatment: MoneyTreatment
) -> dict[str, Amounts]:
    """Sums of one group in whole cents, added up by the unit that each ends in."""
    if treatment.is_plain:
        return {currency: _amounts(own) for (currency, _), own in cents.items()}
    found: dict[str, list[Amounts]] = {}
    for (currency, year), own in cents.items():
        unit, factor = treatment.factor(currency, year)
        amounts = _amounts(own)
        told = amounts if factor == 1 else amounts.times(factor)
        found.setdefault(str(unit), []).append(told)
    return {unit: added(of_unit) for unit, of_unit in found.items()}


def _amounts(cents: Sequence[int]) -> Amounts:
    return Amounts(*[Decimal(one) * CENT if one else NOTHING for one in cents])


def kept_apart(treatment: MoneyTreatment, booked: Iterable[Booked]) -> list[str]:
    """What found no rate or no price level, with its years."""
    without_rate: dict[str, set[int]] = {}
    without_level: dict[str, set[int]] = {}
    for currency, year in booked:
        unit, _ = treatment.factor(currency, year)
        if treatment.into and unit.currency != treatment.into:
            without_rate.setdefault(currency, set()).add(year)
        if treatment.prices_of is not None and unit.prices_of is None:
            without_level.setdefault(unit.currency, set()).add(year)
    return [
        *(
            f"{currency} booked in {_years(years)} stays in {currency}: no rate into "
            f"{treatment.into} is on record. It is listed apart and never added."
            for currency, years in sorted(without_rate.items())
        ),
        *(
            f"{currency} booked in {_years(years)} stays nominal: no price level of "
            f"{currency} for that year or for {treatment.prices_of} is on record. It "
            "is listed apart and never added."
            for currency, years in sorted(without_level.items())
        ),
    ]


def _years(years: Iterable[int]) -> str:
    return ", ".join(str(year) for year in sorted(years))
