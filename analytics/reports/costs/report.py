"""The Costs page and its exports: what repairs cost, by what they belong to."""

from collections.abc import Iterable
from dataclasses import dataclass, field, fields
from decimal import Decimal
from typing import Any

from django.db import models
from django.db.models import Count, F, Q, QuerySet

from analytics.reports.costs.basis import Basis
from analytics.reports.costs.warnings import cost_warnings
from analytics.reports.costs.work import Work
from analytics.scope import Scope
from plant.access import require
from records.choices import FailureMode, Item
from records.models import CostLine, Repair
from records.models.repair import RepairQuerySet
from records.selectors.costs import (
    cost_sums,
    lines_booked,
    lines_of,
    repairs_reported,
)

NOTHING = Decimal("0.00")
NO_MODE = "no failure mode"
NO_ITEM = "no item"


class CostGrouping(models.TextChoices):
    POSITION_MODE = "position_mode", "Position and failure mode"
    POSITION = "position", "Position"
    MODE = "mode", "Failure mode"
    ITEM = "item", "Item"
    AREA = "area", "Area"


# Fields of a cost line, and how the parts of their values are written.
FIELDS: dict[CostGrouping, tuple[str, ...]] = {
    CostGrouping.POSITION_MODE: ("repair__position", "repair__failure_mode"),
    CostGrouping.POSITION: ("repair__position",),
    CostGrouping.MODE: ("repair__failure_mode",),
    CostGrouping.ITEM: ("repair__item",),
    CostGrouping.AREA: ("repair__position__area",),
}
NAMES = {
    "repair__position": ("repair__position__tag", "repair__site__name"),
    "repair__position__area": (
        "repair__position__area__name",
        "repair__site__name",
    ),
}


@dataclass(frozen=True, slots=True)
class Amounts:
    """Sums in one currency; the three kinds of cost are never added up."""

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

    def plus(self, other: "Amounts") -> "Amounts":
        return Amounts(
            *(getattr(self, f.name) + getattr(other, f.name) for f in fields(Amounts))
        )


@dataclass(frozen=True, slots=True)
class CostRow:
    """One group, with its amounts by currency."""

    names: tuple[str, ...]
    position: int | None
    repairs: int
    amounts: dict[str, Amounts]

    def amounts_in(self, currency: str) -> Amounts:
        return self.amounts.get(currency, Amounts())


@dataclass(frozen=True, slots=True)
class CostReport:
    scope: Scope
    basis: Basis
    grouping: CostGrouping
    work: Work
    currencies: list[str]
    rows: list[CostRow]
    total: CostRow
    failures: dict[str, Amounts]
    """What the failures among these repairs cost, by currency."""
    lines: QuerySet[CostLine] = field(repr=False)
    warnings: list[str] = field(default_factory=list)

    @property
    def table_caption(self) -> str:
        return f"By {self.grouping.label.lower()}"

    @property
    def file_suffix(self) -> str:
        """So that a file of some of the work is not taken for all of it."""
        return "" if self.work is Work.ALL else f"-{self.work.value}"

    @property
    def in_words(self) -> str:
        return f"{self.work.in_words} {self.basis.in_words}"


def cost_report(
    scope: Scope, basis: Basis, grouping: CostGrouping, work: Work = Work.ALL
) -> CostReport:
    """Everything that the page, the table export and the workbook show.

    Raises
    ------
    PermissionDenied
        When the user's role may not see costs.
    """
    require(scope.user, "records.see_costs")
    place: dict[str, Any] = {
        "user": scope.user,
        "site": scope.site,
        "area": scope.area,
        "start": scope.window.start,
        "end": scope.window.end,
    }
    repairs = repairs_reported(**place).filter(work.repairs(scope.rules))
    lines = lines_of(repairs) if basis is Basis.EVENT else lines_booked(**place)
    lines = _lines_of_work(lines, scope, work)
    by = FIELDS[grouping]
    sums = list(cost_sums(lines, *_with_names(by)))
    counts = _event_counts(repairs, by) if basis is Basis.EVENT else _booked(lines, by)
    currencies = sorted({row["currency"] for row in sums})
    rows = _rows(by, sums, counts, several_sites=len(scope.sites) > 1)
    return CostReport(
        scope=scope,
        basis=basis,
        grouping=grouping,
        work=work,
        currencies=currencies,
        rows=rows,
        total=_total(rows, currencies),
        failures=_amounts(_lines_of_work(lines, scope, Work.FAILURES)),
        lines=lines,
        warnings=cost_warnings(scope, basis, work, repairs, lines),
    )


def _lines_of_work(
    lines: QuerySet[CostLine], scope: Scope, work: Work
) -> QuerySet[CostLine]:
    if work is Work.ALL:
        return lines
    repairs = Repair.objects.filter(work.repairs(scope.rules))
    return lines.filter(repair__in=repairs.order_by().values("pk"))


def _amounts(lines: QuerySet[CostLine]) -> dict[str, Amounts]:
    """Sums of all lines together, by currency."""
    return {row["currency"]: _amounts_of(row) for row in cost_sums(lines)}


def _amounts_of(row: dict[str, Any]) -> Amounts:
    return Amounts(**{f.name: row[f.name] for f in fields(Amounts)})


def _with_names(by: Iterable[str]) -> list[str]:
    return [name for part in by for name in (part, *NAMES.get(part, ()))]


def _event_counts(repairs: RepairQuerySet, by: tuple[str, ...]) -> list[Any]:
    """Repairs of each group, shop work left out, also those without any cost."""
    rows = repairs.filter(shop_work_of__isnull=True).order_by()
    names = {name: F(name.removeprefix("repair__")) for name in _with_names(by)}
    counted: Any = rows.values(**names).annotate(repairs=Count("pk"))
    return list(counted)


def _booked(lines: QuerySet[CostLine], by: tuple[str, ...]) -> list[Any]:
    """Repairs of each group with a cost booked in the period."""
    own = Q(repair__shop_work_of__isnull=True)
    return list(
        lines.order_by()
        .values(*_with_names(by))
        .annotate(repairs=Count("repair", distinct=True, filter=own))
    )


def _rows(
    by: tuple[str, ...],
    sums: list[dict[str, Any]],
    counts: list[dict[str, Any]],
    *,
    several_sites: bool,
) -> list[CostRow]:
    repairs: dict[tuple[Any, ...], int] = {}
    amounts: dict[tuple[Any, ...], dict[str, Amounts]] = {}
    names: dict[tuple[Any, ...], tuple[str, ...]] = {}
    for row in [*counts, *sums]:
        key = tuple(row[part] for part in by)
        names[key] = tuple(_name(part, row, several_sites) for part in by)
        if "currency" in row:
            amounts.setdefault(key, {})[row["currency"]] = _amounts_of(row)
        else:
            repairs[key] = row["repairs"]
    at_position = by[0] == "repair__position"
    found = [
        CostRow(
            names=names[key],
            position=key[0] if at_position else None,
            repairs=repairs.get(key, 0),
            amounts=amounts.get(key, {}),
        )
        for key in names
    ]
    return sorted(found, key=lambda row: row.names)


def _name(part: str, row: dict[str, Any], several_sites: bool) -> str:
    if part == "repair__failure_mode":
        mode = row[part]
        return f"{mode} {FailureMode(mode).label.lower()}" if mode else NO_MODE
    if part == "repair__item":
        return str(Item(row[part]).label) if row[part] else NO_ITEM
    name, site = (str(row[field_name]) for field_name in NAMES[part])
    return f"{name}, {site}" if several_sites else name


def _total(rows: list[CostRow], currencies: list[str]) -> CostRow:
    amounts = {}
    for currency in currencies:
        total = Amounts()
        for row in rows:
            total = total.plus(row.amounts_in(currency))
        amounts[currency] = total
    return CostRow(("All",), None, sum(row.repairs for row in rows), amounts)
