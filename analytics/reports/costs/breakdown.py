"""Costs of one period by what they belong to: rows, and their total."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from django.db.models import Count, F, Q, QuerySet

from analytics.reports.costs.amounts import (
    Amounts,
    Booked,
    CostRow,
    added,
    told_in_units,
)
from analytics.reports.costs.basis import Basis
from analytics.reports.costs.groupings import (
    FIELDS,
    CostGrouping,
    fields_with_names,
    names_of,
)
from analytics.reports.costs.question import CostQuestion
from records.models import CostLine
from records.models.repair import RepairQuerySet
from records.selectors.costs import booked_year, cost_sums
from records.selectors.part_named import part_named

Rows = Iterable[Mapping[str, Any]]


@dataclass(frozen=True, slots=True)
class Breakdown:
    """Rows of one grouping; `currencies` are the units of money that occur."""

    grouping: CostGrouping
    currencies: list[str]
    rows: list[CostRow]
    total: CostRow
    booked: frozenset[Booked]
    """Currencies with their years; known only where money is converted."""

    @property
    def table_caption(self) -> str:
        return f"By {self.grouping.label.lower()}"


def breakdown_of(
    question: CostQuestion, lines: QuerySet[CostLine], grouping: CostGrouping
) -> Breakdown:
    """Two queries: what each group cost, and how many repairs it had."""
    plain = question.treatment.is_plain
    sums = list(_sums(lines, grouping, by_year=not plain))
    counts = _counts(question, lines, grouping)
    rows = _rows(question, grouping, sums, counts)
    return Breakdown(
        grouping=grouping,
        currencies=sorted({unit for row in rows for unit in row.amounts}),
        rows=rows,
        total=_total(rows),
        booked=frozenset(
            () if plain else {(row["currency"], row["year"]) for row in sums}
        ),
    )


def _sums(
    lines: QuerySet[CostLine], grouping: CostGrouping, *, by_year: bool
) -> Iterable[dict[str, Any]]:
    names = _on_lines(grouping)
    by = [f"of_{name}" for name in names]
    lines = lines.annotate(**dict(zip(by, names.values(), strict=True)))
    if by_year:
        lines = lines.annotate(year=booked_year())
        by.append("year")
    for row in cost_sums(lines, *by):
        yield {name.removeprefix("of_"): value for name, value in row.items()}


def _on_lines(grouping: CostGrouping) -> dict[str, Any]:
    return {
        name: part_named("repair__") if name == "part" else F(f"repair__{name}")
        for name in fields_with_names(grouping)
    }


def _counts(
    question: CostQuestion, lines: QuerySet[CostLine], grouping: CostGrouping
) -> list[dict[str, Any]]:
    """Repairs of each group, shop work left out; by event also those without cost."""
    if question.basis is Basis.EVENT:
        window = question.scope.window
        return _repairs(question.repairs(window.start, window.end), grouping)
    names = _on_lines(grouping)
    own = Q(repair__shop_work_of__isnull=True)
    rows = (
        lines.order_by()
        .annotate(**{f"of_{name}": field for name, field in names.items()})
        .values(*[f"of_{name}" for name in names])
        .annotate(repairs=Count("repair", distinct=True, filter=own))
    )
    return [
        {name.removeprefix("of_"): value for name, value in row.items()} for row in rows
    ]


def _repairs(repairs: RepairQuerySet, grouping: CostGrouping) -> list[dict[str, Any]]:
    rows: Any = repairs.filter(shop_work_of__isnull=True).order_by()
    if grouping is CostGrouping.PART:
        rows = rows.annotate(part=part_named())
    return list(rows.values(*fields_with_names(grouping)).annotate(repairs=Count("pk")))


def _rows(
    question: CostQuestion, grouping: CostGrouping, sums: Rows, counts: Rows
) -> list[CostRow]:
    by = FIELDS[grouping]
    several_sites = len(question.scope.sites) > 1
    repairs: dict[tuple[Any, ...], int] = {}
    parts: dict[tuple[Any, ...], list[Mapping[str, Any]]] = defaultdict(list)
    named: dict[tuple[Any, ...], Mapping[str, Any]] = {}
    for row in counts:
        key = tuple(row[part] for part in by)
        repairs[key] = row["repairs"]
        named[key] = row
    for row in sums:
        key = tuple(row[part] for part in by)
        parts[key].append(row)
        named[key] = row
    at_position = by[0] == "position"
    found = [
        CostRow(
            key=key,
            names=names_of(grouping, row, several_sites=several_sites),
            position=key[0] if at_position else None,
            repairs=repairs.get(key, 0),
            amounts=told_in_units(parts.get(key, ()), question.treatment),
        )
        for key, row in named.items()
    ]
    return sorted(found, key=lambda row: row.names)


def _total(rows: list[CostRow]) -> CostRow:
    amounts: dict[str, list[Amounts]] = defaultdict(list)
    for row in rows:
        for unit, of_row in row.amounts.items():
            amounts[unit].append(of_row)
    together = {unit: added(of_rows) for unit, of_rows in amounts.items()}
    return CostRow((), ("All",), None, sum(row.repairs for row in rows), together)
