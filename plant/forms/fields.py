"""Form fields that the register uses in many places."""

from typing import Any

from django import forms

from plant.days import FIRST_DAY, LAST_DAY
from plant.forms.years import BoundedDayField, BoundedMomentField

NOT_RECORDED = "Not recorded"


class DayField(BoundedDayField):
    """A day, picked or typed as 2025-03-07."""

    widget = forms.DateInput(
        format="%Y-%m-%d",
        attrs={"type": "date", "min": str(FIRST_DAY), "max": str(LAST_DAY)},
    )

    def __init__(self, **options: Any) -> None:
        super().__init__(input_formats=["%Y-%m-%d"], **options)


class MomentField(BoundedMomentField):
    """A day and time in the active zone, picked or typed."""

    widget = forms.DateTimeInput(
        format="%Y-%m-%dT%H:%M",
        attrs={
            "type": "datetime-local",
            "min": f"{FIRST_DAY}T00:00",
            "max": f"{LAST_DAY}T23:59",
        },
    )

    def __init__(self, **options: Any) -> None:
        formats = ["%Y-%m-%dT%H:%M", "%Y-%m-%dT%H:%M:%S", "%Y-%m-%d %H:%M"]
        super().__init__(input_formats=formats, **options)


class MeasureField(forms.FloatField):
    """A measured value that may be blank; the form shows its unit by the label."""

    def __init__(self, unit: str, **options: Any) -> None:
        options.setdefault("required", False)
        super().__init__(widget=forms.NumberInput(attrs={"step": "any"}), **options)
        self.unit = unit

    def prepare_value(self, value: Any) -> Any:
        """60 rather than 60.0, as it was typed."""
        is_whole = isinstance(value, float) and value.is_integer()
        return int(value) if is_whole else value


class ChosenOrAny(forms.ChoiceField):
    """One of the given choices, or the blank one for any of them."""

    def __init__(self, choices: Any, blank: str = "Any", **options: Any) -> None:
        super().__init__(choices=[("", blank), *choices], required=False, **options)


def what_is_asked(form: forms.Form) -> dict[str, Any]:
    """What a filter was given; a field that cannot be read leaves nothing out."""
    if not form.is_bound:
        return {}
    form.is_valid()
    return {name: value for name, value in form.cleaned_data.items() if value}
