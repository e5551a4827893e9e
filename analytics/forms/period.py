"""The part of a filter form that most pages share: place and days."""

from datetime import date
from typing import Any

from django import forms

from analytics.exposure import Window, window_of_months
from analytics.scope import Scope, today
from plant.access import sites_visible
from plant.days import FIRST_DAY, LAST_DAY
from plant.forms.years import BoundedDayField
from plant.models import Area, Site, User
from records.forms.repair_filter import AreaField

CONFIDENCES = {"0.8": "80 %", "0.9": "90 %", "0.95": "95 %"}
STANDARD_CONFIDENCE = "0.9"
STANDARD_MONTHS = 12
# No log of pumps reaches further back; what is typed below it is a slip.
EARLIEST = FIRST_DAY
DAY_INPUT = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")


def parse_date_or_today(text: str) -> date:
    """The day typed; of a slip, which the field itself will refuse, today."""
    try:
        day = date.fromisoformat(text)
    except ValueError:
        return today()
    return min(max(day, EARLIEST), LAST_DAY)


class PlaceForm(forms.Form):
    """Site and area of those that the user may see."""

    site = forms.ModelChoiceField(
        Site.objects.none(), required=False, empty_label="All sites"
    )
    area = AreaField(Area.objects.none(), required=False, empty_label="All areas")
    confidence = forms.ChoiceField(
        choices=list(CONFIDENCES.items()),
        required=False,
        label="Interval",
    )

    def __init__(self, data: Any, *, user: User) -> None:
        asked = {name: value for name, value in (data or {}).items() if value}
        usual = self.usual(asked)
        # A link may name some fields only: the others have, and show, what is usual.
        super().__init__(usual | asked if data else None, initial=usual)
        self.user = user
        sites = sites_visible(user)
        self._choice("site").queryset = sites
        self._choice("area").queryset = Area.objects.filter(
            site__in=sites
        ).select_related("site")

    def usual(self, asked: dict[str, Any]) -> dict[str, Any]:
        """What holds where nothing is chosen."""
        return {"confidence": STANDARD_CONFIDENCE}

    def _choice(self, name: str) -> Any:
        return self.fields[name]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        site, area = cleaned.get("site"), cleaned.get("area")
        if site is not None and area is not None and area.site_id != site.pk:
            self.add_error("area", f"{area.name} is not an area of {site}.")
        return cleaned

    def is_answerable(self) -> bool:
        """Whether the question has no errors; nothing asked is the usual question."""
        return not self.is_bound or self.is_valid()

    def value_of(self, name: str) -> Any:
        """What was chosen, or is usual."""
        return self.cleaned_data[name] if self.is_bound else self.initial.get(name)

    def window(self) -> Window:
        return window_of_months(today(), STANDARD_MONTHS)

    def scope(self) -> Scope:
        """The question asked; only of a form that has no errors."""
        has_interval = "confidence" in self.fields
        asked = self.value_of("confidence") if has_interval else STANDARD_CONFIDENCE
        return Scope(
            user=self.user,
            window=self.window(),
            site=self.value_of("site"),
            area=self.value_of("area"),
            confidence=float(asked),
        )


class PeriodForm(PlaceForm):
    """Place and days; without any days, the twelve months that end today."""

    start = BoundedDayField(required=False, label="From", widget=DAY_INPUT)
    end = BoundedDayField(required=False, label="To (as-of day)", widget=DAY_INPUT)

    field_order = ["start", "end", "site", "area"]

    def usual(self, asked: dict[str, Any]) -> dict[str, Any]:
        end = parse_date_or_today(asked.get("end", ""))
        window = window_of_months(end, STANDARD_MONTHS)
        return super().usual(asked) | {"start": window.start, "end": window.end}

    def clean_end(self) -> date | None:
        end: date | None = self.cleaned_data["end"]
        if end is not None and end > today():
            raise forms.ValidationError("Choose today or an earlier day.")
        return end

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        end = cleaned.get("end") or today()
        start = cleaned.get("start")
        if start is not None and start > end and "end" not in self.errors:
            self.add_error("start", f"Choose a day not after {end}.")
        return cleaned

    def window(self) -> Window:
        return Window(self.value_of("start"), self.value_of("end"))


class FleetForm(PlaceForm):
    """Place alone: the Fleet page is about today."""

    def __init__(self, data: Any, *, user: User) -> None:
        super().__init__(data, user=user)
        del self.fields["confidence"]
