"""A reading of the running-hour meter as typed."""

from django import forms

from records.forms.fields import hours_field, moment_field


class HourReadingForm(forms.Form):
    read_at = moment_field("Read on", required=True)
    meter_hours = hours_field("Meter shows")
    is_new_meter = forms.BooleanField(
        label="First reading of a new or reset meter", required=False
    )

    def clean_meter_hours(self) -> float:
        value: float | None = self.cleaned_data["meter_hours"]
        if value is None:
            raise forms.ValidationError("Type what the meter shows.")
        if value < 0:
            raise forms.ValidationError("A meter shows zero or more.")
        return value
