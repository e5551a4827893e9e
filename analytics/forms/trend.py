"""Question form of the Trend page."""

from datetime import date
from typing import Any

from django import forms

from analytics.exposure import Window
from analytics.forms.period import DAY_INPUT, EARLIEST, PlaceForm
from analytics.reports.trend.question import (
    Counted,
    TrendClock,
    TrendQuestion,
    TrendScope,
)
from analytics.scope import today
from plant.choices import Criticality
from plant.forms.years import BoundedDayField
from plant.models import Position, User
from records.selectors.histories import position_choices

ANY = ("", "All")


class TrendForm(PlaceForm):
    position = forms.CharField(
        required=False,
        max_length=40,
        label="Tag, with its peers",
    )
    liquid = forms.ChoiceField(required=False, choices=[ANY])
    criticality = forms.ChoiceField(required=False, choices=[ANY, *Criticality.choices])
    plan = forms.ChoiceField(required=False, label="Seal plan now", choices=[ANY])
    counted = forms.ChoiceField(choices=Counted, required=False, label="Count")
    clock = forms.ChoiceField(
        choices=TrendClock, required=False, label="Time counted in"
    )
    end = BoundedDayField(required=False, label="As-of day", widget=DAY_INPUT)
    merge = forms.BooleanField(
        required=False, label="Merge rework into the event that it reworks"
    )

    field_order = [
        *("site", "area", "position", "liquid", "criticality", "plan"),
        *("counted", "clock", "end", "confidence", "merge"),
    ]

    def __init__(self, data: Any, *, user: User) -> None:
        super().__init__(data, user=user)
        found = position_choices(user)
        for name, values in (("liquid", found.liquids), ("plan", found.plans)):
            self._choice(name).choices = [ANY, *((value, value) for value in values)]

    def usual(self, asked: dict[str, Any]) -> dict[str, Any]:
        return super().usual(asked) | {
            "counted": Counted.REPAIRS,
            "clock": TrendClock.DAYS,
            "end": today(),
        }

    def clean_end(self) -> date | None:
        end: date | None = self.cleaned_data["end"]
        if end is not None and end > today():
            raise forms.ValidationError("Choose today or an earlier day.")
        return end

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        tag = cleaned.get("position", "")
        cleaned["position"] = self._position(tag, cleaned.get("site")) if tag else None
        return cleaned

    def _position(self, tag: str, site: Any) -> Position | None:
        """The one position of that tag; an error where there is none, or several."""
        rows = Position.objects.visible_to(self.user).filter(tag__iexact=tag.strip())
        if site is not None:
            rows = rows.filter(site=site)
        found = list(rows.select_related("site")[:2])
        if len(found) == 1:
            return found[0]
        if found:
            self.add_error("position", f"Several sites have a {tag}: choose the site.")
        else:
            self.add_error("position", f"No position is called {tag} here.")
        return None

    def _trend_scope(self) -> TrendScope:
        place, position = self.scope(), self.value_of("position")
        if position is not None:
            # Its peers come by their own rule: what narrows a group says nothing here.
            return TrendScope(
                place.user,
                place.window,
                site=position.site,
                position=position,
                confidence=place.confidence,
            )
        return TrendScope(
            place.user,
            place.window,
            site=place.site,
            area=place.area,
            confidence=place.confidence,
            liquid=self.value_of("liquid") or "",
            criticality=self.value_of("criticality") or "",
            plan=self.value_of("plan") or "",
        )

    def window(self) -> Window:
        return Window(EARLIEST, self.value_of("end"))

    def question(self) -> TrendQuestion:
        """The question asked; only of a form that has no errors."""
        return TrendQuestion(
            self._trend_scope(),
            counted=Counted(self.value_of("counted")),
            clock=TrendClock(self.value_of("clock")),
            merges_rework=bool(self.value_of("merge")),
        )
