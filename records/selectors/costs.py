"""Cost lines added up by what they belong to; never across currencies.

The sums obey the same rules as cost_totals: standing lines of repairs that are not
void, in whole cents, with repair cost, lost production, and environment and safety
apart. Estimates and booked amounts stay apart as well.
"""

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from typing import Any

from django.db.models import BigIntegerField, F, Q, QuerySet, Sum
from django.db.models.functions import Cast, Round

from plant.models import Area, Site, User
from records.choices import REPAIR_COST_KINDS, CostKind, CostStatus, RepairState
from records.models import CostLine
from records.models.repair import RepairQuerySet
from records.selectors.cost_totals import lines_standing
from records.selectors.repairs import RepairFilter, repairs_filtered

CENT = Decimal("0.01")
PARTS = {
    "repair": Q(kind__in=REPAIR_COST_KINDS),
    "production": Q(kind=CostKind.LOST_PRODUCTION),
    "environment": Q(kind=CostKind.ENVIRONMENT_SAFETY),
}
STATUSES = {
    "estimate": Q(status=CostStatus.ESTIMATE),
    "booked": Q(status=CostStatus.BOOKED),
}


def repairs_reported(
    *, user: User, site: Site | None, area: Area | None, start: date, end: date
) -> RepairQuerySet:
    """The rows that the repairs page lists for the same place and days."""
    choice = RepairFilter(site=site, area=area, reported_from=start, reported_to=end)
    return repairs_filtered(user=user, choice=choice, rules={})


def lines_of(repairs: RepairQuerySet) -> QuerySet[CostLine]:
    """Lines of repairs, whenever they were booked."""
    return _counting().filter(repair__in=repairs.order_by().values("pk"))


def lines_booked(
    *, user: User, site: Site | None, area: Area | None, start: date, end: date
) -> QuerySet[CostLine]:
    """Lines booked on these days, whenever their repair was reported."""
    repairs = repairs_filtered(
        user=user, choice=RepairFilter(site=site, area=area), rules={}
    )
    return lines_of(repairs).filter(booked_on__range=(start, end))


def _counting() -> QuerySet[CostLine]:
    lines = lines_standing(CostLine.objects.all())
    return lines.exclude(repair__state=RepairState.VOID)


def cost_sums(lines: QuerySet[CostLine], *by: str) -> Iterator[dict[str, Any]]:
    """One row for each combination of `by` and currency.

    Amounts are named `repair_estimate`, `repair_booked`, `production_estimate` and
    so on.
    """
    cents = Cast(Round(F("amount") * 100), BigIntegerField())
    sums = {
        f"{part}_{status}": Sum(cents, filter=of_part & of_status)
        for part, of_part in PARTS.items()
        for status, of_status in STATUSES.items()
    }
    rows = lines.order_by().values(*by, "currency").annotate(**sums)
    for row in rows.order_by(*by, "currency"):
        yield row | {name: Decimal(row[name] or 0) * CENT for name in sums}
