"""Filters above the list of repairs."""

from typing import Any

from django import forms

from plant.access import sites_visible
from plant.forms.years import BoundedDayField
from plant.models import Area, Site, User
from records.choices import Category, FailureMode, RepairState
from records.forms.fields import day_widget, items_by_subunit, with_codes
from records.selectors.repairs import RepairFilter

ANY: tuple[str, str] = ("", "Any")


def _any_of(label: str, choices: Any) -> forms.ChoiceField:
    return forms.ChoiceField(label=label, choices=[ANY, *choices], required=False)


class AreaField(forms.ModelChoiceField):  # type: ignore[type-arg]
    """Areas with their site, since two sites may use one name."""

    def label_from_instance(self, obj: Any) -> str:
        return f"{obj.name}, {obj.site.name}"


class RepairFilterForm(forms.Form):
    text = forms.CharField(
        label="Search",
        help_text="Number, tag, serial number or words.",
        required=False,
        max_length=80,
        widget=forms.TextInput(attrs={"type": "search"}),
    )
    site = forms.ModelChoiceField(
        queryset=Site.objects.none(), required=False, empty_label="Any"
    )
    area = AreaField(queryset=Area.objects.none(), required=False, empty_label="Any")
    category = _any_of("Why done", Category.choices)
    failure_mode = _any_of("Failure mode", with_codes(FailureMode))
    item = _any_of("Failed item", items_by_subunit())
    state = forms.ChoiceField(
        label="State",
        choices=[("", "All but void"), *RepairState.choices],
        required=False,
    )
    counted_as = _any_of("Counted as", [("repair", "Repair"), ("failure", "Failure")])
    reported_from = BoundedDayField(required=False, widget=day_widget())
    reported_to = BoundedDayField(required=False, widget=day_widget())
    open_only = forms.BooleanField(
        label="Open only", help_text="Not handed back or not signed.", required=False
    )
    findings_open = forms.BooleanField(
        label="Findings open",
        help_text="Failures whose findings nobody has signed.",
        required=False,
    )

    def __init__(self, *args: Any, user: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        sites = sites_visible(user)
        site: Any = self.fields["site"]
        area: Any = self.fields["area"]
        site.queryset = sites
        area.queryset = Area.objects.filter(site__in=sites).select_related("site")

    def choice(self) -> RepairFilter:
        """What is asked for; a field that cannot be read leaves nothing out."""
        if not self.is_bound:
            return RepairFilter()
        self.is_valid()
        given = {name: value for name, value in self.cleaned_data.items() if value}
        return RepairFilter(**given)
