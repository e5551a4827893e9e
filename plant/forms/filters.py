"""Filters of the register's two lists; the lists name their fields the same way."""

from typing import Any

from django import forms

from plant.access import sites_visible
from plant.choices import Assembly, Criticality, Hazard
from plant.forms.fields import ChosenOrAny
from plant.models import Area, Site, User


class RegisterFilter(forms.Form):
    """Text and site; subclasses add what their list knows."""

    text = forms.CharField(
        required=False, widget=forms.TextInput(attrs={"type": "search"})
    )
    site: "forms.ModelChoiceField[Site]" = forms.ModelChoiceField(
        None, required=False, empty_label="All sites"
    )
    sort = forms.CharField(required=False, widget=forms.HiddenInput)

    def __init__(self, *args: Any, user: User, **options: Any) -> None:
        super().__init__(*args, **options)
        sites = sites_visible(user)
        self.fields["site"].queryset = sites  # type: ignore[attr-defined]
        if sites.count() < 2:
            del self.fields["site"]

    def chosen(self) -> dict[str, Any]:
        """What to pass to the selector; what could not be read is left out."""
        self.is_valid()
        given = getattr(self, "cleaned_data", {})
        return {name: given[name] for name in given if name != "sort"}


class PositionFilter(RegisterFilter):
    area: "forms.ModelChoiceField[Area]" = forms.ModelChoiceField(
        None, required=False, empty_label="All areas"
    )
    criticality = ChosenOrAny(Criticality.choices)
    hazard = ChosenOrAny(Hazard.choices)
    in_service = ChosenOrAny(
        [("in", "In service"), ("out", "Out of service")], label="Service state"
    )

    def __init__(self, *args: Any, user: User, **options: Any) -> None:
        super().__init__(*args, user=user, **options)
        self.fields["text"].label = "Tag, service, liquid or serial"
        self.fields["area"].queryset = Area.objects.filter(  # type: ignore[attr-defined]
            site__in=sites_visible(user)
        )


class PumpFilter(RegisterFilter):
    assembly = ChosenOrAny(Assembly.choices)
    where = ChosenOrAny(
        [
            ("position", "At a position"),
            ("store", "In the store"),
            ("retired", "Retired"),
        ],
        label="Where it is",
    )

    def __init__(self, *args: Any, user: User, **options: Any) -> None:
        super().__init__(*args, user=user, **options)
        self.fields["text"].label = "Serial, maker, design, size or tag"
