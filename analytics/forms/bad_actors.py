"""Filter of the Bad actors page."""

from datetime import date
from typing import Any

from django import forms
from django.db import models

from analytics.exposure import Window, window_of_months
from analytics.forms.period import DAY_INPUT, PlaceForm
from analytics.reports.bad_actors.report import UnitKind
from analytics.scope import today
from plant.forms.years import BoundedDayField


class Ranking(models.TextChoices):
    EVIDENCE = "evidence", "Evidence"
    REPAIRS = "repairs", "Repairs"
    COST = "cost", "Repair cost"


class BadActorForm(PlaceForm):
    unit = forms.ChoiceField(choices=UnitKind, required=False, label="Judge")
    months = forms.ChoiceField(
        choices=[("12", "12 months"), ("24", "24 months"), ("36", "36 months")],
        required=False,
        label="Window",
    )
    end = BoundedDayField(required=False, label="As-of day", widget=DAY_INPUT)
    rank = forms.ChoiceField(choices=Ranking, required=False, label="Rank by")

    field_order = ["unit", "months", "end", "rank", "site", "area", "confidence"]

    def usual(self, asked: dict[str, Any]) -> dict[str, Any]:
        return super().usual(asked) | {
            "unit": UnitKind.POSITION,
            "months": "12",
            "end": today(),
            "rank": Ranking.EVIDENCE,
        }

    def clean_end(self) -> date | None:
        end: date | None = self.cleaned_data["end"]
        if end is not None and end > today():
            raise forms.ValidationError("Choose today or an earlier day.")
        return end

    def window(self) -> Window:
        return window_of_months(self.value_of("end"), int(self.value_of("months")))

    def kind(self) -> UnitKind:
        return UnitKind(self.value_of("unit"))

    def ranking(self) -> Ranking:
        return Ranking(self.value_of("rank"))
