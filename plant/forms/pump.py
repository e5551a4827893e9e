"""Forms of a pump: its data, its moves and its retirement."""

from datetime import datetime
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone

from plant.access import sites_visible
from plant.choices import Assembly, ImpellerKind, Mounting
from plant.forms.fields import (
    NOT_RECORDED,
    ChosenOrAny,
    DayField,
    MeasureField,
    MomentField,
)
from plant.models import Position, Pump, Site, User
from plant.selectors.pumps import pumps_in_store

STORE = "store"
PUMP_FIELDS = (
    "serial_number",
    "maker",
    "assembly",
    "design",
    "size",
    "casing_material",
    "mounting",
    "impeller_kind",
    "has_sleeve",
    "shaft_overhang_mm",
    "shaft_diameter_mm",
    "records_from",
)


class PumpForm(forms.Form):
    site: "forms.ModelChoiceField[Site]" = forms.ModelChoiceField(None)
    serial_number = forms.CharField(max_length=60)
    maker = forms.CharField(max_length=80, required=False)
    assembly = forms.ChoiceField(
        choices=Assembly.choices, help_text="What carries this serial number."
    )
    design = forms.CharField(max_length=60, required=False)
    size = forms.CharField(max_length=40, required=False)
    casing_material = forms.CharField(max_length=60, required=False)
    mounting = ChosenOrAny(
        Mounting.choices, blank=NOT_RECORDED, help_text="How the shaft is held."
    )
    impeller_kind = ChosenOrAny(
        ImpellerKind.choices, blank=NOT_RECORDED, label="Impeller"
    )
    has_sleeve = forms.TypedChoiceField(
        choices=[("", NOT_RECORDED), ("True", "Yes"), ("False", "No")],
        coerce=lambda word: word == "True",
        empty_value=None,
        required=False,
        label="Sleeve on the shaft",
    )
    shaft_overhang_mm = MeasureField(
        "mm",
        min_value=0.1,
        label="Shaft overhang",
        help_text="Inboard radial bearing to impeller vane centre-line.",
    )
    shaft_diameter_mm = MeasureField(
        "mm",
        min_value=0.1,
        label="Shaft diameter",
        help_text="Solid shaft under the sleeve at the seal.",
    )
    records_from = DayField(
        required=False, help_text="The day its log begins; empty: that of the site."
    )

    def __init__(
        self, *args: Any, user: User, pump: Pump | None = None, **options: Any
    ) -> None:
        if pump is not None:
            facts = {name: getattr(pump, name) for name in PUMP_FIELDS}
            options.setdefault("initial", facts)
        super().__init__(*args, **options)
        if pump is not None:
            # A pump keeps its site: its placements and repairs belong there.
            del self.fields["site"]
        else:
            self.fields["site"].queryset = sites_visible(user)  # type: ignore[attr-defined]


class NotInFuture(forms.Form):
    """A move that is logged has happened."""

    moved_at = MomentField(label="Moved at")

    def clean_moved_at(self) -> datetime:
        moved_at: datetime = self.cleaned_data["moved_at"]
        if moved_at > timezone.now():
            raise ValidationError("That moment is still to come.")
        return moved_at


class PumpMoveForm(NotInFuture):
    destination = forms.ChoiceField(
        label="To",
        help_text="A pump that stands there goes to the store at the same moment.",
    )

    def __init__(self, *args: Any, pump: Pump, **options: Any) -> None:
        super().__init__(*args, **options)
        self._pump = pump
        self._positions = {
            str(position.pk): position
            for position in Position.objects.filter(site=pump.site_id)
            .exclude(placements__pump=pump, placements__removed_at__isnull=True)
            .order_by("tag")
        }
        tags = [(key, position.tag) for key, position in self._positions.items()]
        self.fields["destination"].choices = [  # type: ignore[attr-defined]
            (STORE, "The store"),
            *tags,
        ]

    def clean(self) -> dict[str, Any]:
        if self._pump.retired_on is not None:
            raise ValidationError("This pump is retired.")
        return super().clean() or {}

    def position(self) -> Position | None:
        """The chosen position; None for the store."""
        return self._positions.get(self.cleaned_data["destination"])


class PumpPlaceForm(NotInFuture):
    pump: "forms.ModelChoiceField[Pump]" = forms.ModelChoiceField(
        None, help_text="Pumps in the store of this site."
    )

    def __init__(self, *args: Any, position: Position, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["pump"].queryset = pumps_in_store(position.site)  # type: ignore[attr-defined]


class PumpRetireForm(forms.Form):
    retired_on = DayField(label="Retired on")
