"""What the single views of a population ask beside the population itself."""

from typing import Any

from django import forms

from analytics.reports.life.comparison import (
    MOST_GROUPS,
    SPLIT_NAMES,
    ComparisonAsked,
    Split,
)
from analytics.reports.life.replacement import Costs
from plant.forms.years import BoundedDayField

DAY_INPUT = forms.DateInput(attrs={"type": "date"})
MOST_COST = 1e9


class OwnForm(forms.Form):
    """A small question of one view; the population comes along in hidden fields."""

    heading = ""
    button = "Show"


class AgeForm(OwnForm):
    heading = "Another age"
    age = forms.FloatField(
        label="Age to outlast",
        required=False,
        min_value=0.1,
        max_value=1e6,
        help_text="In the clock chosen above.",
    )


class AnyOf(forms.MultipleChoiceField):
    """Names that are known only once the lives are read; unknown ones fall away."""

    def valid_value(self, value: str) -> bool:
        return True


class CompareForm(OwnForm):
    heading = "What to compare"
    button = "Compare"
    split = forms.ChoiceField(
        label="Compare by",
        required=False,
        choices=[("", "As usual"), *((str(s), n) for s, n in SPLIT_NAMES.items())],
    )
    changed_on = BoundedDayField(
        label="Date of the change",
        required=False,
        widget=DAY_INPUT,
        help_text="For before and after.",
    )
    group = AnyOf(
        label=f"Groups, at most {MOST_GROUPS}",
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text="None chosen: those with most failures.",
    )

    def clean_group(self) -> list[str]:
        groups: list[str] = self.cleaned_data["group"]
        if len(groups) > MOST_GROUPS:
            raise forms.ValidationError(f"Choose at most {MOST_GROUPS} groups.")
        return groups

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if cleaned.get("split") == Split.FITTED and not cleaned.get("changed_on"):
            self.add_error("changed_on", "Type the date of the change.")
        return cleaned

    @property
    def asked(self) -> ComparisonAsked:
        given = self.cleaned_data
        day = given.get("changed_on")
        # A date alone can only mean before against after.
        split = given.get("split") or (Split.FITTED if day else "")
        return ComparisonAsked(
            split=Split(split) if split else None,
            changed_on=day,
            groups=tuple(given.get("group") or ()),
        )

    def offer(self, names: list[str]) -> None:
        """Show these groups to choose from; a choice of two is no choice."""
        if len(names) > 2:
            self.fields["group"].choices = [(n, n) for n in names]  # type: ignore[attr-defined]
        else:
            del self.fields["group"]


class CostsForm(OwnForm):
    heading = "What one replacement costs"
    button = "Work out the age"
    planned = forms.FloatField(
        label="Planned replacement",
        required=False,
        min_value=0.01,
        max_value=MOST_COST,
        help_text="Part, labour and the planned stop.",
    )
    failure = forms.FloatField(
        label="Replacement after a failure",
        required=False,
        min_value=0.01,
        max_value=MOST_COST,
        help_text="All of that and what a failure adds: damage, lost production.",
    )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        for one, other in (("planned", "failure"), ("failure", "planned")):
            has_error = other in self.errors
            if cleaned.get(one) and not cleaned.get(other) and not has_error:
                self.add_error(other, "Type both costs, in the same currency.")
        return cleaned

    @property
    def costs(self) -> Costs | None:
        planned = self.cleaned_data.get("planned")
        failure = self.cleaned_data.get("failure")
        return Costs(planned, failure) if planned and failure else None
