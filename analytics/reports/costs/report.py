"""The cost report: one object behind the page and every file made of it."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property

from django.db.models import QuerySet

from analytics.exposure import Window
from analytics.money.treatment import MoneyTreatment
from analytics.reports.costs.amounts import Amounts, CostRow, kept_apart
from analytics.reports.costs.basis import Basis
from analytics.reports.costs.breakdown import Breakdown, breakdowns_of
from analytics.reports.costs.comparison import Comparison, comparison_of
from analytics.reports.costs.facts import Fact, amounts_of_facts, days_of, facts_of
from analytics.reports.costs.groupings import CostGrouping
from analytics.reports.costs.notes import Note, notes_of
from analytics.reports.costs.periods import Periods, periods_of
from analytics.reports.costs.question import CostQuestion
from analytics.reports.costs.rolling import Rolling, months_of, rolling_of
from analytics.reports.costs.top_ten import TopTen, top_ten_of
from analytics.reports.costs.warnings import cost_warnings
from analytics.reports.costs.work import Work
from analytics.reports.lost_production.report import (
    LostProductionWorkedOut,
    lost_production_worked_out,
)
from analytics.scope import Scope
from plant.access import require
from records.models import CostLine

__all__ = ["Amounts", "CostGrouping", "CostReport", "CostRow", "cost_report"]


@dataclass(frozen=True)
class CostReport:
    """What a page or file does not ask for is not worked out."""

    question: CostQuestion
    grouping: CostGrouping
    lines: QuerySet[CostLine] = field(repr=False)
    _tables: dict[CostGrouping, Breakdown] = field(default_factory=dict, repr=False)

    @property
    def scope(self) -> Scope:
        return self.question.scope

    @property
    def basis(self) -> Basis:
        return self.question.basis

    @property
    def work(self) -> Work:
        return self.question.work

    @property
    def treatment(self) -> MoneyTreatment:
        return self.question.treatment

    @property
    def shown(self) -> Breakdown:
        """The table of the grouping that was chosen."""
        return self.breakdown(self.grouping)

    def breakdown(self, grouping: CostGrouping) -> Breakdown:
        return self.breakdowns([grouping])[0]

    def breakdowns(self, groupings: Sequence[CostGrouping]) -> list[Breakdown]:
        """Those not made yet are made together: that costs little more than one."""
        missing = [by for by in groupings if by not in self._tables]
        if missing:
            self._tables.update(breakdowns_of(self.question, self.lines, missing))
        return [self._tables[grouping] for grouping in groupings]

    @property
    def currencies(self) -> list[str]:
        """Units of money, as `EUR` or `EUR of 2024`."""
        return self.shown.currencies

    @property
    def rows(self) -> list[CostRow]:
        return self.shown.rows

    @property
    def total(self) -> CostRow:
        return self.shown.total

    @property
    def table_caption(self) -> str:
        return self.shown.table_caption

    @cached_property
    def periods(self) -> Periods:
        return periods_of(self.scope.window)

    @cached_property
    def months(self) -> list[Window]:
        return months_of(self.scope.window.end)

    @cached_property
    def facts(self) -> list[Fact]:
        """Sums over the periods compared and, after them, the months; one query."""
        windows = [*(period.window for period in self.periods), *self.months]
        lines = self.question.lines(*days_of(windows))
        return facts_of(self.question, lines, windows)

    @cached_property
    def failures(self) -> dict[str, Amounts]:
        """What the failures among these repairs cost, by unit of money."""
        return amounts_of_facts(
            f for f in self.facts if 0 in f.windows and f.of_failure
        )

    @cached_property
    def comparison(self) -> Comparison:
        return comparison_of(self.question, self.periods, self.facts)

    @cached_property
    def top_ten(self) -> list[TopTen]:
        """The ten rows with the highest repair cost, one list a unit of money."""
        return top_ten_of(self.shown)

    @cached_property
    def rolling(self) -> list[Rolling]:
        """The last 24 months up to the as-of day, one series a unit of money."""
        return rolling_of(self.months, self.facts, len(self.periods))

    @cached_property
    def warnings(self) -> list[str]:
        return [
            *kept_apart(self.treatment, self.shown.booked),
            *cost_warnings(self.question, self.lines, self.shown),
        ]

    @cached_property
    def worked_out(self) -> LostProductionWorkedOut:
        """Lost production that nobody entered, from stoppages; never added to sums."""
        return lost_production_worked_out(self.scope)

    def notes(self) -> list[Note]:
        """Label and sentence of everything a reader of a file must be told."""
        return notes_of(self.question, self.grouping, self.warnings)

    @property
    def file_suffix(self) -> str:
        """So that a file of some of the work is not taken for all of it."""
        return "" if self.work is Work.ALL else f"-{self.work.value}"

    @property
    def in_words(self) -> str:
        return self.question.in_words


def cost_report(
    scope: Scope,
    basis: Basis,
    grouping: CostGrouping,
    work: Work = Work.ALL,
    treatment: MoneyTreatment | None = None,
) -> CostReport:
    """Everything that the page, the exports and the paper show.

    Raises
    ------
    PermissionDenied
        When the user's role may not see costs.
    """
    require(scope.user, "records.see_costs")
    question = CostQuestion(scope, basis, work, treatment or MoneyTreatment())
    lines = question.lines(scope.window.start, scope.window.end)
    return CostReport(question, grouping, lines)
