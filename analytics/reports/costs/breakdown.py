"""Costs of one period by what they belong to: rows, and their total."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.db.models import QuerySet

from analytics.reports.costs.amounts import (
    Amounts,
    Booked,
    CostRow,
    added,
    cents_in_units,
)
from analytics.reports.costs.groupings import CostGrouping, names_of
from analytics.reports.costs.names import names_looked_up
from analytics.reports.costs.question import CostQuestion
from analytics.reports.costs.tally import Group, Key, tally_of
from records.models import CostLine


@dataclass(frozen=True, slots=True)
class Breakdown:
    """Rows of one grouping; `currencies` are the units of money that occur."""

    grouping: CostGrouping
    currencies: list[str]
    rows: list[CostRow]
    total: CostRow
    booked: frozenset[Booked]
    """Currencies with their years; known only where money is converted."""
    bare: int
    """Repairs without any cost line; shop work is not among them."""

    @property
    def table_caption(self) -> str:
        return f"By {self.grouping.label.lower()}"


def breakdowns_of(
    question: CostQuestion,
    lines: QuerySet[CostLine],
    groupings: Sequence[CostGrouping],
) -> dict[CostGrouping, Breakdown]:
    """Tables of several groupings out of one pass over repairs and lines."""
    tally = tally_of(question, lines, groupings)
    return {
        grouping: _breakdown(question, grouping, groups, tally.bare)
        for grouping, groups in tally.groups.items()
    }


def _breakdown(
    question: CostQuestion, grouping: CostGrouping, groups: dict[Key, Group], bare: int
) -> Breakdown:
    rows = _rows(question, grouping, groups)
    booked: Iterable[Booked] = ()
    if not question.treatment.is_plain:
        booked = {booked for group in groups.values() for booked in group.cents}
    return Breakdown(
        grouping=grouping,
        currencies=sorted({unit for row in rows for unit in row.amounts}),
        rows=rows,
        total=_total(rows),
        booked=frozenset(booked),
        bare=bare,
    )


def _rows(
    question: CostQuestion, grouping: CostGrouping, groups: Mapping[Key, Group]
) -> list[CostRow]:
    several_sites = len(question.scope.sites) > 1
    named = names_looked_up(grouping, groups)
    found = [
        CostRow(
            key=key,
            names=names_of(grouping, named(key, group), several_sites=several_sites),
            position=_position(grouping, key),
            repairs=group.repairs,
            amounts=cents_in_units(group.cents, question.treatment),
        )
        for key, group in groups.items()
    ]
    return sorted(found, key=lambda row: row.names)


def _position(grouping: CostGrouping, key: Key) -> Any:
    at_position = (CostGrouping.POSITION, CostGrouping.POSITION_MODE)
    return key[0] if grouping in at_position else None


def _total(rows: list[CostRow]) -> CostRow:
    amounts: dict[str, list[Amounts]] = {}
    for row in rows:
        for unit, of_row in row.amounts.items():
            amounts.setdefault(unit, []).append(of_row)
    together = {unit: added(of_rows) for unit, of_rows in amounts.items()}
    return CostRow((), ("All",), None, sum(row.repairs for row in rows), together)
