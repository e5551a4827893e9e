"""A round at one pump as typed: one field a quantity and point, blanks left out."""

from typing import Any

from django import forms

from records.forms.fields import hours_field, moment_field
from records.reading_catalogue import KINDS, ReadingKind
from records.reading_choices import Quantity, RunningState
from records.services.readings import ReadingEntry


def field_name(quantity: str, point: str) -> str:
    return f"{quantity} {point}".strip().replace(" ", "_")


def unit_name(quantity: str) -> str:
    return f"{quantity} unit".replace(" ", "_")


class ReadingsForm(forms.Form):
    read_at = moment_field("Read on", required=True)
    running_state = forms.ChoiceField(label="Pump is", choices=RunningState)
    instrument = forms.CharField(
        label="Instrument",
        max_length=60,
        required=False,
        help_text="Name or number of the instrument, where it matters.",
    )

    meter_hours = hours_field("Hour meter shows")
    is_new_meter = forms.BooleanField(
        label="First reading of a new or reset meter", required=False
    )

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.places: list[tuple[str, Quantity, str]] = []
        for kind in KINDS.values():
            self._add(kind)

    def _add(self, kind: ReadingKind) -> None:
        for point in kind.points:
            name = field_name(kind.quantity, point)
            label = point.label if point else kind.quantity.label
            self.fields[name] = forms.CharField(
                label=label,
                required=False,
                max_length=30,
                widget=forms.TextInput(attrs={"inputmode": "decimal"}),
            )
            self.places.append((name, kind.quantity, point))
        self.fields[unit_name(kind.quantity)] = forms.ChoiceField(
            label=f"Unit, {kind.quantity.label.lower()}",
            choices=[(unit, unit) for unit in kind.units],
            required=False,
        )

    def groups(self) -> list[dict[str, Any]]:
        """Quantities with several places: their fields, the unit last."""
        return [
            {
                "legend": kind.quantity.label,
                "fields": [self[field_name(kind.quantity, p)] for p in kind.points],
                "unit_field": self[unit_name(kind.quantity)],
            }
            for kind in KINDS.values()
            if len(kind.points) > 1
        ]

    def pairs(self) -> list[dict[str, Any]]:
        """Quantities of the pump as a whole: each with its unit."""
        return [
            {
                "field": self[field_name(kind.quantity, "")],
                "unit_field": self[unit_name(kind.quantity)],
            }
            for kind in KINDS.values()
            if len(kind.points) == 1
        ]

    def clean_meter_hours(self) -> float | None:
        value: float | None = self.cleaned_data["meter_hours"]
        if value is not None and value < 0:
            raise forms.ValidationError("A meter shows zero or more.")
        return value

    def round_fields(self) -> dict[str, Any]:
        """What holds for the whole round, as `round_record` takes it."""
        names = (
            "read_at",
            "running_state",
            "instrument",
            "meter_hours",
            "is_new_meter",
        )
        return {name: self.cleaned_data[name] for name in names}

    def entries(self) -> tuple[list[ReadingEntry], list[str]]:
        """What was typed, and the name of the field of each."""
        entries, names = [], []
        for name, quantity, point in self.places:
            value = self.cleaned_data[name].strip()
            if not value:
                continue
            kind = KINDS[quantity]
            unit = self.cleaned_data[unit_name(quantity)] or kind.unit
            entries.append(ReadingEntry(quantity, value, unit, point))
            names.append(name)
        return entries, names


class StrikeForm(forms.Form):
    reason = forms.CharField(label="Why it is wrong", max_length=150)
