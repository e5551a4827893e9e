"""Costs of the last 24 months, month by month, with the sum of twelve months."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from analytics.exposure import Window
from analytics.reports.costs.facts import Fact
from analytics.reports.costs.periods import calendar_months
from records.choices import REPAIR_COST_KINDS, CostKind

POINTS = 24
SUMMED = 12
NOTHING = Decimal("0.00")


@dataclass(frozen=True, slots=True)
class RollingMonth:
    """One calendar month; `_12` are sums of the twelve months that end with it."""

    window: Window
    label: str
    repair: Decimal
    production: Decimal
    repair_12: Decimal
    production_12: Decimal


@dataclass(frozen=True, slots=True)
class Rolling:
    """The months in one unit of money, oldest first."""

    unit: str
    months: list[RollingMonth]


def months_of(as_of: date) -> list[Window]:
    """Months up to the as-of day, the last one cut there, and those summed before."""
    return calendar_months(as_of, points=POINTS + SUMMED - 1)


def rolling_of(
    windows: list[Window], facts: Iterable[Fact], first: int
) -> list[Rolling]:
    """Series of the months, which are the windows of the facts from `first` on."""
    repair: dict[str, list[Decimal]] = defaultdict(lambda: [NOTHING] * len(windows))
    production: dict[str, list[Decimal]] = defaultdict(lambda: [NOTHING] * len(windows))
    units = set()
    for fact in facts:
        if fact.kind in REPAIR_COST_KINDS:
            series = repair
        elif fact.kind == CostKind.LOST_PRODUCTION:
            series = production
        else:
            continue
        for place in fact.windows:
            if place >= first:
                units.add(fact.unit)
                series[fact.unit][place - first] += fact.amount
    return [
        Rolling(unit, _months(windows, repair[unit], production[unit]))
        for unit in sorted(units)
    ]


def _months(
    windows: list[Window], repair: list[Decimal], production: list[Decimal]
) -> list[RollingMonth]:
    return [
        RollingMonth(
            window=windows[place],
            label=f"{windows[place].start:%Y-%m}",
            repair=repair[place],
            production=production[place],
            repair_12=sum(repair[place + 1 - SUMMED : place + 1], NOTHING),
            production_12=sum(production[place + 1 - SUMMED : place + 1], NOTHING),
        )
        for place in range(SUMMED - 1, len(windows))
    ]
