"""Filter of the Budget page: place, limits and how sure the store shall be."""

from typing import Any

from django import forms

from analytics.forms.period import PlaceForm
from analytics.reports.budget.report import BudgetReport, budget_report

SERVICE_LEVELS = {"0.5": "50 %", "0.8": "80 %", "0.9": "90 %", "0.95": "95 %"}
STANDARD_LEVEL = "0.9"


class BudgetForm(PlaceForm):
    level = forms.ChoiceField(
        choices=list(SERVICE_LEVELS.items()),
        required=False,
        label="Chance that the parts are enough",
    )

    field_order = ["site", "area", "confidence", "level"]

    def usual(self, asked: dict[str, Any]) -> dict[str, Any]:
        return super().usual(asked) | {"level": STANDARD_LEVEL}

    def report(self) -> BudgetReport:
        return budget_report(self.scope(), float(self.value_of("level")))
