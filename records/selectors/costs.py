"""Cost lines added up by what they belong to; never across currencies.

The sums obey the same rules as cost_totals: standing lines of repairs that are not
void, in whole cents, with repair cost, lost production, and environment and safety
apart. Estimates and booked amounts stay apart as well.
"""

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from typing import Any

from django.db.models import (
    BigIntegerField,
    CharField,
    F,
    IntegerField,
    Q,
    QuerySet,
    Sum,
)
from django.db.models.functions import Cast, Round, Substr

from plant.access import sites_visible
from plant.models import Area, Site, User
from records.choices import REPAIR_COST_KINDS, CostKind, CostStatus, RepairState
from records.models import CostLine
from records.models.cost_line import CostLineQuerySet
from records.models.repair import RepairQuerySet
from records.selectors.conditions import under
from records.selectors.repair_filter import RepairFilter, repairs_filtered

CENT = Decimal("0.01")
CHUNK = 5_000
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


def lines_reported(
    *, user: User, site: Site | None, area: Area | None, start: date, end: date
) -> CostLineQuerySet:
    """Lines of repairs reported on these days; replaced and void ones too.

    Asked of the lines themselves: looked for in a list of repairs, each repair would
    be read twice.
    """
    choice = RepairFilter(site=site, area=area, reported_from=start, reported_to=end)
    return CostLine.objects.filter(
        under("repair__", choice.of_facts() & choice.of_days()),
        repair__site__in=sites_visible(user),
    )


def lines_booked(
    *, user: User, site: Site | None, area: Area | None, start: date, end: date
) -> QuerySet[CostLine]:
    """Lines booked on these days, whenever their repair was reported."""
    lines = _counting().filter(booked_on__range=(start, end))
    # Asked of the lines themselves: a list of all repairs ever would be long.
    lines = lines.filter(repair__site__in=sites_visible(user))
    if site is not None:
        lines = lines.filter(repair__site=site)
    if area is not None:
        lines = lines.filter(repair__position__area=area)
    return lines


def _counting() -> QuerySet[CostLine]:
    return CostLine.objects.standing().exclude(repair__state=RepairState.VOID)


def booked_year() -> Cast:
    """The year of booking, cut out of the day as text: both engines do that fast."""
    day = Cast("booked_on", CharField())
    return Cast(Substr(day, 1, 4), IntegerField())


def cost_sums(lines: QuerySet[CostLine], *by: str) -> Iterator[dict[str, Any]]:
    """One row for each combination of `by` and currency.

    Amounts are named `repair_estimate`, `repair_booked`, `production_estimate` and
    so on.
    """
    names = list(_sums())
    rows = lines.order_by().values(*by, "currency").annotate(**_sums())
    for row in rows.order_by(*by, "currency"):
        yield row | {name: Decimal(row[name] or 0) * CENT for name in names}


def cost_cents(lines: QuerySet[CostLine], *by: str) -> Iterator[tuple[Any, ...]]:
    """The same sums as plain rows: `by`, currency, six whole numbers of cents or None.

    For rows by the hundred thousand: of these no mapping and no Decimal is made.
    """
    whole = {name: _Whole(of, BigIntegerField()) for name, of in _sums().items()}
    rows = lines.order_by().values(*by, "currency").annotate(**whole)
    yield from rows.values_list(*by, "currency", *whole).iterator(CHUNK)


class _Whole(Cast):
    """It comes as a whole number: none is converted one by one."""

    def get_db_converters(self, connection: Any) -> list[Any]:
        return []


def _sums() -> dict[str, Sum]:
    cents = Cast(Round(F("amount") * 100), BigIntegerField())
    return {
        f"{part}_{status}": Sum(cents, filter=of_part & of_status)
        for part, of_part in PARTS.items()
        for status, of_status in STATUSES.items()
    }


def cost_facts(lines: QuerySet[CostLine], *by: str) -> Iterator[dict[str, Any]]:
    """The finest sums: one row a kind, status, category, currency and value of `by`."""
    named = (*by, "kind", "status", "repair__category", "currency")
    cents = Sum(Cast(Round(F("amount") * 100), BigIntegerField()))
    for row in lines.order_by().values(*named).annotate(cents=cents):
        yield row | {"amount": Decimal(row["cents"]) * CENT}
