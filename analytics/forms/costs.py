"""Filter of the Costs page."""

from typing import Any

from django import forms

from analytics.forms.period import PeriodForm
from analytics.money.treatment import MoneyTreatment
from analytics.reports.costs.basis import Basis
from analytics.reports.costs.groupings import CostGrouping
from analytics.reports.costs.report import CostReport, cost_report
from analytics.reports.costs.work import Work
from plant.models import User
from records.selectors.money_tables import (
    currencies_told_in,
    exchange_rates,
    price_levels,
    years_with_levels,
)


class CostForm(PeriodForm):
    basis = forms.ChoiceField(choices=Basis, required=False, label="Period by")
    work = forms.ChoiceField(choices=Work, required=False, label="Work counted")
    by = forms.ChoiceField(choices=CostGrouping, required=False, label="Group by")
    money = forms.ChoiceField(required=False, label="Currency")
    prices = forms.ChoiceField(required=False, label="Prices")

    field_order = [
        *("by", "work", "basis", "start", "end", "site", "area"),
        *("money", "prices"),
    ]

    def __init__(self, data: Any, *, user: User) -> None:
        super().__init__(data, user=user)
        # Amounts are added up, not estimated: no interval to choose.
        del self.fields["confidence"]
        self.fields["end"].label = "To"
        self._choice("money").choices = [
            ("", "As booked"),
            *[(code, f"Told in {code}") for code in currencies_told_in()],
        ]
        self._choice("prices").choices = [
            ("", "Nominal"),
            *[(str(year), f"Prices of {year}") for year in years_with_levels()],
        ]

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

    def treatment(self) -> MoneyTreatment:
        """Rates and levels are read only where an amount is to be converted."""
        into, prices = self.value_of("money") or "", self.value_of("prices")
        asked = MoneyTreatment(into=into, prices_of=int(prices) if prices else None)
        if asked.is_plain:
            return asked
        return MoneyTreatment(
            into=asked.into,
            prices_of=asked.prices_of,
            rates=exchange_rates(),
            levels=price_levels(),
        )

    def report(self) -> CostReport:
        return cost_report(
            self.scope(),
            self.chosen_basis(),
            self.grouping(),
            self.chosen_work(),
            self.treatment(),
        )
