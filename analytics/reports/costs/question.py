"""What a cost report is asked: place, days, which repairs, in which money."""

from dataclasses import dataclass, field
from datetime import date
from typing import Any

from django.db.models import QuerySet

from analytics.money.treatment import MoneyTreatment
from analytics.reports.costs.basis import Basis
from analytics.reports.costs.work import Work
from analytics.scope import Scope
from records.choices import RepairState
from records.models import CostLine
from records.models.repair import RepairQuerySet
from records.selectors.costs import lines_booked, lines_reported
from records.selectors.repair_filter import (
    RepairFilter,
    counted_as,
    repairs_filtered,
)


@dataclass(frozen=True)
class CostQuestion:
    """One question; figures of other days are asked with the same place and work."""

    scope: Scope
    basis: Basis
    work: Work = Work.ALL
    treatment: MoneyTreatment = field(default_factory=MoneyTreatment)

    @property
    def in_words(self) -> str:
        return f"{self.work.in_words} {self.basis.in_words}"

    @property
    def money_in_words(self) -> str:
        """How amounts of several years and currencies are told."""
        asked = self.treatment
        told = (
            f"converted to {asked.into} at the rate of the year of booking"
            if asked.into
            else "each in the currency in which it was booked"
        )
        if asked.prices_of is None:
            return f"Nominal amounts, {told}."
        return (
            f"Restated to prices of {asked.prices_of} by the price levels on record, "
            f"{told}."
        )

    def repairs(self, start: date | None, end: date) -> RepairQuerySet:
        """Repairs of the place and work that were reported on these days."""
        choice = RepairFilter(
            site=self.scope.site,
            area=self.scope.area,
            reported_from=start,
            reported_to=end,
            counted_as=self.work.counted_as,
        )
        return repairs_filtered(
            user=self.scope.user, choice=choice, rules=self.scope.rules
        )

    def lines(self, start: date, end: date) -> QuerySet[CostLine]:
        """Lines that the basis puts on these days."""
        if self.basis is Basis.BOOKING:
            return self.lines_booked(start, end)
        lines = lines_reported(**self._place, start=start, end=end).standing()
        return self.of_work(lines.exclude(repair__state=RepairState.VOID), self.work)

    def lines_booked(self, start: date, end: date) -> QuerySet[CostLine]:
        """Lines booked on these days, whenever their repair was reported."""
        lines = lines_booked(**self._place, start=start, end=end)
        return self.of_work(lines, self.work)

    @property
    def _place(self) -> dict[str, Any]:
        scope = self.scope
        return {"user": scope.user, "site": scope.site, "area": scope.area}

    def of_work(self, lines: QuerySet[CostLine], work: Work) -> QuerySet[CostLine]:
        """Those of the lines that belong to some of the work."""
        condition = counted_as(work.counted_as, self.scope.rules, "repair__")
        return lines.filter(condition)
