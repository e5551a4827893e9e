"""The Costs page and its exports: what repairs cost, by what they belong to."""

from collections.abc import Iterable
from dataclasses import dataclass, field, fields
from decimal import Decimal
from typing import Any

from django.db import models
from django.db.models import Count, F, Q, QuerySet

from analytics.scope import Scope
from plant.access import require
from plant.display import count
from records.choices import FailureMode, Item
from records.counting import counted_failures
from records.models import CostLine
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


class Basis(models.TextChoices):
    """Which day puts a cost into a period."""

    EVENT = "event", "Event: day of the report"
    BOOKING = "booking", "Booking: day booked"

    @property
    def in_words(self) -> str:
        if self is Basis.EVENT:
            return (
                "Costs of repairs reported in the period, whenever they were booked. "
                "Costs booked later will still be added."
            )
        return "Costs booked in the period, whenever their repair was reported."


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
    currencies: list[str]
    rows: list[CostRow]
    total: CostRow
    lines: QuerySet[CostLine] = field(repr=False)
    warnings: list[str] = field(default_factory=list)

    @property
    def table_caption(self) -> str:
        return f"By {self.grouping.label.lower()}"


def cost_report(scope: Scope, basis: Basis, grouping: CostGrouping) -> CostReport:
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
    repairs = repairs_reported(**place)
    lines = lines_of(repairs) if basis is Basis.EVENT else lines_booked(**place)
    by = FIELDS[grouping]
    sums = list(cost_sums(lines, *_with_names(by)))
    counts = _event_counts(repairs, by) if basis is Basis.EVENT else _booked(lines, by)
    currencies = sorted({row["currency"] for row in sums})
    rows = _rows(by, sums, counts, several_sites=len(scope.sites) > 1)
    return CostReport(
        scope=scope,
        basis=basis,
        grouping=grouping,
        currencies=currencies,
        rows=rows,
        total=_total(rows, currencies),
        lines=lines,
        warnings=_warnings(scope, basis, repairs, lines, currencies),
    )


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
            parts = {f.name: row[f.name] for f in fields(Amounts)}
            amounts.setdefault(key, {})[row["currency"]] = Amounts(**parts)
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


def _warnings(
    scope: Scope,
    basis: Basis,
    repairs: RepairQuerySet,
    lines: QuerySet[CostLine],
    currencies: list[str],
) -> list[str]:
    """What a reader must know before trusting a total."""
    found = []
    if len(currencies) > 1:
        found.append(
            f"Amounts in {' and '.join(currencies)} are kept apart; no rate of "
            "exchange is applied and nothing is added across currencies."
        )
    if basis is Basis.BOOKING:
        return found
    facts = repairs.filter(shop_work_of__isnull=True).aggregate(
        bare=Count("pk", filter=~Q(pk__in=lines.order_by().values("repair"))),
        modeless=Count("pk", filter=Q(failure_mode="") & counted_failures(scope.rules)),
    )
    late = lines.filter(booked_on__gt=scope.window.end).count()
    still_open = repairs.filter(pk__in=repairs.open().order_by().values("pk")).count()
    for size, noun, meaning in (
        (facts["bare"], "repair", "without any cost line yet."),
        (still_open, "repair", "open or unsigned; cost may still come."),
        (late, "cost line", "booked after the end of the period, included here."),
        (facts["modeless"], "failure", "without a failure mode."),
    ):
        if size:
            found.append(f"{count(size, noun)} {meaning}")
    return found
