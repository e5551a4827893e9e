"""The administrator's form of a site: what the model alone would let through."""

from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from plant.days import refuse_far_day


class SiteForm(forms.ModelForm):  # type: ignore[type-arg]
    """A site; its fields and their words are named by the administration."""

    def clean_time_zone(self) -> str:
        zone: str = self.cleaned_data["time_zone"]
        # Short names such as EST keep one clock all year, unlike any works.
        if zone != "UTC" and "/" not in zone:
            raise ValidationError(
                "Give a region and a city, such as Europe/Amsterdam, or UTC."
            )
        return zone

    def clean_currency(self) -> str:
        currency: str = self.cleaned_data["currency"].upper()
        if not (len(currency) == 3 and currency.isascii() and currency.isalpha()):
            raise ValidationError("Give three letters, such as EUR.")
        return currency

    def clean_records_from(self) -> Any:
        day: date | None = self.cleaned_data["records_from"]
        refuse_far_day(day)
        return day
