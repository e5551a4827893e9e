"""Question form of the page on the drivers of life."""

from collections.abc import Iterable
from datetime import date
from typing import Any

from django import forms
from django.http import QueryDict

from analytics.ages import Clock
from analytics.forms.period import DAY_INPUT, PlaceForm
from analytics.reports.drivers.covariates import COVARIATES, Covariate, offered
from analytics.reports.drivers.report import DriversQuestion
from analytics.reports.life.question import COMPONENT_NAMES, COMPONENTS
from analytics.samples import SampleRule, end_of_day
from analytics.scope import today
from plant.forms.years import BoundedDayField
from plant.models import User
from records.selectors.histories import position_choices
from records.selectors.lives import LifeFilter

CLOCKS = [
    (Clock.HOURS, "Running hours"),
    (Clock.DAYS, "Calendar days in service"),
]
ANY = ("", "All")


class DriversForm(PlaceForm):
    component = forms.ChoiceField(choices=list(COMPONENT_NAMES.items()), required=False)
    liquid = forms.ChoiceField(required=False, choices=[ANY])
    clock = forms.ChoiceField(choices=CLOCKS, required=False, label="Age counted in")
    end = BoundedDayField(required=False, label="As-of day", widget=DAY_INPUT)
    covariate = forms.MultipleChoiceField(
        label="What may matter (with none ticked: what is known for most lives)",
        required=False,
        widget=forms.CheckboxSelectMultiple,
        choices=[(covariate.key, covariate.label) for covariate in COVARIATES],
    )

    field_order = ["component", "site", "area", "liquid", "clock", "end", "confidence"]

    def __init__(self, data: QueryDict, *, user: User) -> None:
        asked: dict[str, Any] = data.dict()
        if "covariate" in data:
            asked["covariate"] = data.getlist("covariate")
        super().__init__(asked, user=user)
        liquids = position_choices(user).liquids
        self._choice("liquid").choices = [ANY, *((one, one) for one in liquids)]
        self._offer_what_suits(asked.get("component", ""))

    def usual(self, asked: dict[str, Any]) -> dict[str, Any]:
        return super().usual(asked) | {
            "component": "seal",
            "clock": Clock.HOURS,
            "end": today(),
        }

    def clean_end(self) -> date | None:
        end: date | None = self.cleaned_data["end"]
        if end is not None and end > today():
            raise forms.ValidationError("Choose today or an earlier day.")
        return end

    def _offer_what_suits(self, component: str) -> None:
        """Show the covariates of the component; a stale tick is refused in words."""
        known = component if component in COMPONENTS else "seal"
        self._choice("covariate").widget.choices = [
            (covariate.key, covariate.label) for covariate in offered(known)
        ]

    @property
    def choice_fields(self) -> list[forms.BoundField]:
        """All but the covariates, which take a row of their own."""
        return [self[name] for name in self.fields if name != "covariate"]

    def show_taken(self, taken: Iterable[Covariate]) -> None:
        """Tick what was taken without being asked for."""
        keys = [covariate.key for covariate in taken]
        self.initial["covariate"] = keys
        if self.is_bound:
            self.data = {**self.data, "covariate": keys}

    def question(self) -> DriversQuestion:
        """The question asked; only of a form that has no errors."""
        component = self.value_of("component")
        site, area = self.value_of("site"), self.value_of("area")
        return DriversQuestion(
            component=component,
            choice=LifeFilter(
                components=COMPONENTS[component],
                site=site.pk if site else None,
                area=area.pk if area else None,
                liquid=self.value_of("liquid") or "",
            ),
            rule=SampleRule(
                as_of=end_of_day(self.value_of("end")),
                clock=Clock(self.value_of("clock")),
            ),
            covariates=tuple(self.value_of("covariate") or ()),
            confidence=float(self.value_of("confidence")),
        )
