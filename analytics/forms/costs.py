"""Filter of the Costs page."""

from typing import Any

from django import forms

from analytics.forms.period import PeriodForm
from analytics.reports.costs.basis import Basis
from analytics.reports.costs.report import CostGrouping, CostReport, cost_report
from analytics.reports.costs.work import Work
from plant.models import User


class CostForm(PeriodForm):
    basis = forms.ChoiceField(choices=Basis, required=False, label="Period by")
    work = forms.ChoiceField(choices=Work, required=False, label="Work counted")
    by = forms.ChoiceField(choices=CostGrouping, required=False, label="Group by")

    field_order = ["by", "work", "basis", "start", "end", "site", "area"]

    def __init__(self, data: Any, *, user: User) -> None:
        super().__init__(data, user=user)
        # Amounts are added up, not estimated: no interval to choose.
        del self.fields["confidence"]
        self.fields["end"].label = "To"

    def usual(self, asked: dict[str, Any]) -> dict[str, Any]:
        usual = {
            "basis": Basis.EVENT,
            "by": CostGrouping.POSITION_MODE,
            "work": Work.ALL,
        }
        return super().usual(asked) | usual

    def chosen_basis(self) -> Basis:
        return Basis(self.value_of("basis"))

    def grouping(self) -> CostGrouping:
        return CostGrouping(self.value_of("by"))

    def chosen_work(self) -> Work:
        return Work(self.value_of("work"))

    def report(self) -> CostReport:
        return cost_report(
            self.scope(), self.chosen_basis(), self.grouping(), self.chosen_work()
        )
