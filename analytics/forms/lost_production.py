"""Filter of the page of lost production."""

from typing import Any

from django import forms

from analytics.forms.period import PeriodForm
from analytics.reports.lost_production.page import SHOWN
from analytics.reports.lost_production.report import (
    LostProductionReport,
    lost_production_report,
)
from plant.models import User


class LostProductionForm(PeriodForm):
    show = forms.ChoiceField(choices=SHOWN, required=False, label="Show")

    field_order = ["start", "end", "site", "area", "show"]

    def __init__(self, data: Any, *, user: User) -> None:
        super().__init__(data, user=user)
        # Hours on record are added up, not estimated: no interval to choose.
        del self.fields["confidence"]

    def report(self) -> LostProductionReport:
        return lost_production_report(self.scope())

    def shown(self) -> str:
        return self.value_of("show") or ""
