"""Filter of the MTBR page."""

from typing import Any

from django import forms

from analytics.forms.period import PeriodForm
from analytics.reports.mtbr.report import Grouping


class MtbrForm(PeriodForm):
    by = forms.ChoiceField(choices=Grouping, required=False, label="Group by")

    field_order = ["by", "start", "end", "site", "area", "confidence"]

    def usual(self, asked: dict[str, Any]) -> dict[str, Any]:
        return super().usual(asked) | {"by": Grouping.AREA}

    def grouping(self) -> Grouping:
        return Grouping(self.value_of("by"))
