"""A preset warning level as typed, in the unit stored."""

from typing import Any

from django import forms

from plant.forms.numbers import TypedFloatField
from records.reading_choices import UNIT_OF_QUANTITY, Quantity


class WarningLevelForm(forms.Form):
    quantity = forms.ChoiceField(
        label="Quantity",
        choices=[
            (value, f"{label} ({UNIT_OF_QUANTITY[value]})")
            for value, label in Quantity.choices
        ],
    )
    warn_above = TypedFloatField(label="Warn above", required=False)
    warn_below = TypedFloatField(label="Warn below", required=False)

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or self.cleaned_data
        above, below = typed.get("warn_above"), typed.get("warn_below")
        if above is not None and below is not None and below >= above:
            self.add_error("warn_below", "This must lie under the upper level.")
        return typed
