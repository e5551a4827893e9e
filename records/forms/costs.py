"""Cost lines as typed."""

from typing import Any

from django import forms

from plant.forms.numbers import TypedDecimalField
from plant.forms.years import BoundedDayField
from records.choices import CostKind, CostStatus
from records.forms.fields import choice_field, day_widget
from records.services.costs import CostEntry


class CostForm(forms.Form):
    kind = choice_field("Kind", CostKind.choices, required=True)
    amount = TypedDecimalField(
        label="Amount",
        max_digits=14,
        decimal_places=2,
        min_value=0,
        error_messages={
            "min_value": "An amount is zero or more; to strike a line, replace it by 0."
        },
    )
    currency = forms.RegexField(
        r"^[A-Z]{3}$",
        label="Currency",
        error_messages={"invalid": "Three capital letters, such as EUR."},
    )
    status = choice_field("Figure is", CostStatus.choices, required=True)
    booked_on = BoundedDayField(
        label="Booked on",
        required=False,
        widget=day_widget(),
        help_text="Blank: today.",
    )
    note = forms.CharField(label="Note", required=False, max_length=200)

    def __init__(self, *args: Any, currency: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.initial.setdefault("currency", currency)

    def entry(self) -> CostEntry:
        return CostEntry(**self.cleaned_data)


class CostRow(CostForm):
    """The same among blank rows: required only once something is typed."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for field in self.fields.values():
            field.required = False

    def clean(self) -> dict[str, Any]:
        if self.has_changed():
            for name in ("kind", "amount", "currency", "status"):
                blank = self.cleaned_data.get(name) in (None, "")
                if blank and name not in self.errors:
                    self.add_error(name, "Fill this in, or clear the line.")
        return self.cleaned_data


CostFormSet = forms.formset_factory(CostRow, extra=3)
