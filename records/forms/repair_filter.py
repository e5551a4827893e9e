"""Filters above the list of repairs."""

from typing import Any

from django import forms

from plant.access import may, sites_visible
from plant.forms.fields import what_is_asked
from plant.forms.years import BoundedDayField
from plant.models import Area, Position, Pump, Site, User
from records.choices import (
    Category,
    Cause,
    CostKind,
    CostStatus,
    FailureMode,
    Mechanism,
    RepairState,
)
from records.forms.fields import day_widget, items_by_subunit, with_codes
from records.selectors.repair_filter import NOT_RECORDED, REPAIR_COST, RepairFilter

ANY: tuple[str, str] = ("", "Any")
NONE: tuple[str, str] = (NOT_RECORDED, "Not recorded")
COUNTED_AS = [
    ("repair", "Repair"),
    ("failure", "Failure"),
    ("failure work", "Failure, with its shop work"),
    ("other work", "Neither failure nor its shop work"),
]
KINDS = [(REPAIR_COST, "Repair cost, all four kinds"), *CostKind.choices]
OF_COST_LINES = ("cost_kind", "cost_status", "booked_from", "booked_to")


def _any_of(label: str, choices: Any) -> forms.ChoiceField:
    return forms.ChoiceField(label=label, choices=[ANY, *choices], required=False)


def _one_of(rows: Any) -> Any:
    """A single row that a link names; there are too many to choose from."""
    return forms.ModelChoiceField(rows, required=False, widget=forms.HiddenInput)


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
    position = _one_of(Position.objects.none())
    pump = _one_of(Pump.objects.none())
    no_pump = forms.BooleanField(required=False, widget=forms.HiddenInput)
    category = _any_of("Why done", Category.choices)
    failure_mode = _any_of("Failure mode", [*with_codes(FailureMode), NONE])
    item = _any_of("Failed item", [*items_by_subunit(), NONE])
    mechanism = _any_of("Mechanism", [*with_codes(Mechanism), NONE])
    cause = _any_of("Cause", [*with_codes(Cause), NONE])
    part = forms.CharField(
        label="Part",
        help_text="Part number or designation, in full.",
        required=False,
        max_length=60,
    )
    state = forms.ChoiceField(
        label="State",
        choices=[("", "All but void"), *RepairState.choices],
        required=False,
    )
    counted_as = _any_of("Counted as", COUNTED_AS)
    reported_from = BoundedDayField(required=False, widget=day_widget())
    reported_to = BoundedDayField(required=False, widget=day_widget())
    cost_kind = _any_of("Cost lines of", KINDS)
    cost_status = _any_of("Cost lines", CostStatus.choices)
    booked_from = BoundedDayField(
        required=False, label="Cost booked from", widget=day_widget()
    )
    booked_to = BoundedDayField(
        required=False, label="Cost booked to", widget=day_widget()
    )
    open_only = forms.BooleanField(
        label="Open only", help_text="Not handed back or not signed.", required=False
    )
    findings_open = forms.BooleanField(
        label="Findings open",
        help_text="Failures whose findings nobody has signed.",
        required=False,
    )
    rework = forms.BooleanField(
        label="Rework only",
        help_text="Soon after the last repair of the pump; with its shop work.",
        required=False,
    )

    def __init__(self, *args: Any, user: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        sites = sites_visible(user)
        fields: dict[str, Any] = self.fields
        fields["site"].queryset = sites
        fields["area"].queryset = Area.objects.filter(site__in=sites).select_related(
            "site"
        )
        fields["position"].queryset = Position.objects.visible_to(user)
        fields["pump"].queryset = Pump.objects.visible_to(user)
        if not may(user, "records.see_costs"):
            for name in OF_COST_LINES:
                del fields[name]

    def choice(self) -> RepairFilter:
        return RepairFilter(**what_is_asked(self))

    def lines_in_words(self) -> str:
        """Which cost lines are added up, unless all; blank otherwise."""
        choice = self.choice()
        if not choice.chooses_lines:
            return ""
        words = []
        if choice.cost_kind:
            words.append(dict(KINDS)[choice.cost_kind].lower())
        if choice.cost_status:
            words.append(f"{CostStatus(choice.cost_status).label.lower()} amounts")
        if choice.booked_from:
            words.append(f"booked from {choice.booked_from}")
        if choice.booked_to:
            words.append(f"booked to {choice.booked_to}")
        return (
            f"Only these cost lines are added up: {', '.join(words)}. Repairs without "
            "such a line are left out of the list."
        )
