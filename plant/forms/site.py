"""The administrator's form of a site: what the model alone would let through."""

from datetime import date
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from plant.days import refuse_far_day
from plant.forms.numbers import TypedDecimalField


class SiteForm(forms.ModelForm):  # type: ignore[type-arg]
    """A site; its fields and their words are named by the administration."""

    energy_price_per_kwh = TypedDecimalField(
        required=False,
        min_value=0,
        max_digits=8,
        decimal_places=4,
        label="Energy price per kWh",
        help_text="In the site's currency, such as 0.12; empty: nobody has said, and "
        "wasted energy is shown without money.",
    )
    discount_rate = TypedDecimalField(
        required=False,
        min_value=0,
        max_digits=6,
        decimal_places=4,
        label="Discount rate a year, as a share",
        help_text="Real, without inflation, such as 0.08 for 8 %; empty: 0.08, marked "
        "as the default.",
    )

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

    def clean_discount_rate(self) -> Decimal | None:
        rate: Decimal | None = self.cleaned_data["discount_rate"]
        if rate is not None and rate >= 1:
            raise ValidationError("Give a share: 0.08 is 8 % a year.")
        return rate
