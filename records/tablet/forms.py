"""The rows of an entry as forms, so that each field is checked as on the classic page.

The facts themselves are read by the very form of that page, records.forms.repairs.
"""

from typing import Any

from django import forms
from django.forms.models import fields_for_model

from plant.choices import (
    LOCATIONS,
    Component,
    ConditionFitted,
    ConditionFound,
    Location,
    WhyRemoved,
)
from plant.models import FittedLife
from records.check_choices import CheckKind, CheckStage
from records.choices import PlateCheck
from records.forms.components import details_of
from records.forms.fields import choice_field
from records.forms.repairs import NewRepairForm
from records.tablet.reading import IN_DETAILS
from records.teardown_patterns import PATTERN_BY_CODE

MOST_TEXT = 10_000


class FactsForm(NewRepairForm):
    """The facts of the classic form, and what only the tablet asks."""

    plate_check = forms.ChoiceField(choices=PlateCheck.choices, required=False)
    text = forms.CharField(required=False, max_length=MOST_TEXT)


class OutForm(forms.Form):
    """One component taken out; `defect_detected` is read beside it, as it was sent."""

    why_removed = choice_field(
        "Why it was taken out", WhyRemoved.choices, required=True
    )
    condition_found = choice_field(
        "Condition found", ConditionFound.choices, required=True
    )


class InForm(forms.Form):
    """One component fitted; the details asked are those of its kind."""

    component = choice_field("Component", Component.choices, required=True)
    location = choice_field("Place", Location.choices, required=True)
    condition_fitted = choice_field("It is", ConditionFitted.choices, required=True)

    def __init__(self, data: dict[str, Any]) -> None:
        super().__init__(data)
        names = [n for n in details_of(data["component"]) if n in IN_DETAILS]
        self.details = names
        for name, field in (fields_for_model(FittedLife, fields=names) or {}).items():
            self.fields[name] = field

    def clean(self) -> dict[str, Any]:
        data = self.cleaned_data
        places = LOCATIONS.get(data.get("component", ""), ())
        if data.get("location") and data["location"] not in places:
            self.add_error("location", "Choose a place where such a component stands.")
        for name in IN_DETAILS:
            if name not in self.details and self.data.get(name):
                self.add_error(None, "This is a detail of another kind of component.")
        return data


class CheckForm(forms.Form):
    """One measured setting; the service reads the value in its unit."""

    kind = choice_field("Check", CheckKind.choices, required=True)
    stage = choice_field("Stage", CheckStage.choices, required=True)
    entered_value = forms.CharField(required=False, max_length=30)
    entered_unit = forms.CharField(required=False, max_length=20)
    not_measured_reason = forms.CharField(required=False, max_length=200)
    out_of_limit_reason = forms.CharField(required=False, max_length=200)
    instrument = forms.CharField(required=False, max_length=60)
    rotor_mass_kg = forms.CharField(required=False, max_length=30)


class PatternForm(forms.Form):
    code = forms.ChoiceField(choices=[(code, code) for code in PATTERN_BY_CODE])
    note = forms.CharField(required=False, max_length=300)
