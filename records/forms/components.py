"""Rows of components: what was taken out, and what was fitted in its place."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.forms.models import fields_for_model

from plant.choices import (
    LOCATIONS,
    Component,
    ConditionFitted,
    ConditionFound,
    Location,
    WhyRemoved,
)
from plant.forms.numbers import TypedFloatField
from plant.models import FittedLife, Pump
from records.forms.fields import choice_field, moment_field
from records.services.component_rows import ComponentIn, ComponentOut

CHOOSE = "Choose one."
LONGEST_KEY = 19
NOT_STATED = ("", "Not stated")
DEFECT_SEEN = {"yes": True, "no": False, "unknown": None}
SEAL_DETAILS = (
    "part_number",
    "serial",
    "piping_plan",
    "arrangement",
    "kind",
    "flexible_element",
    "faces",
    "secondary_seal",
)
BEARING_DETAILS = (
    "designation",
    "serial",
    "bearing_arrangement",
    "lubrication",
    "dynamic_rating_kn",
)
# A new part has its own serial number, and the plan is a fact of the position.
NOT_COPIED = ("serial", "piping_plan")
COMPONENT_OF_LOCATION: dict[str, Component] = {
    str(place): Component(component)
    for component, places in LOCATIONS.items()
    for place in places
}


def details_of(component: str) -> tuple[str, ...]:
    return SEAL_DETAILS if component == Component.SEAL else BEARING_DETAILS


def _detail_fields(component: str) -> dict[str, Any]:
    fields: dict[str, Any] = dict(
        fields_for_model(FittedLife, fields=details_of(component))
    )
    if component == Component.SEAL:
        fields["piping_plan"].help_text = "Blank: the plan of the position."
        fields["faces"].label = "Face pair"
        for name in ("arrangement", "kind", "flexible_element"):
            fields[name].choices = [NOT_STATED, *fields[name].choices[1:]]
    else:
        rating: Any = TypedFloatField(label="Dynamic rating C", required=False)
        rating.unit = "kN"
        fields["dynamic_rating_kn"] = rating
    return fields


class SwapForm(forms.Form):
    """One place of the pump: the component there, and the one that follows it."""

    location = forms.CharField(widget=forms.HiddenInput)
    life = forms.IntegerField(widget=forms.HiddenInput, required=False)
    new_life = forms.IntegerField(widget=forms.HiddenInput, required=False)

    taken_out = forms.BooleanField(label="Taken out", required=False)
    defect_seen = choice_field(
        "Defect seen before it was opened",
        [("yes", "Yes"), ("no", "No"), ("unknown", "Not known")],
    )
    condition_found = choice_field("Condition found", ConditionFound.choices)
    why_removed = choice_field("Why it was taken out", WhyRemoved.choices)
    removed_at = moment_field("Taken out on", "Blank: when the pump was stopped.")

    fit_new = forms.BooleanField(label="One fitted in its place", required=False)
    condition_fitted = choice_field("The fitted one is", ConditionFitted.choices)
    fitted_at = moment_field("Fitted on", "Blank: at the hand-back.")

    def __init__(self, *args: Any, lives: dict[int, FittedLife], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.old = lives.get(self._number("life"))
        self.new = lives.get(self._number("new_life"))
        place = str(self["location"].value() or "")
        self.component = COMPONENT_OF_LOCATION.get(place, Component.SEAL)
        self.place = Location(place).label if place in Location.values else ""
        self.details = details_of(self.component)
        for name, field in _detail_fields(self.component).items():
            self.fields[name] = field
        if self.old is None:
            self.fields["fit_new"].label = "One fitted here"

    def _number(self, name: str) -> int:
        value = str(self[name].value() or "")
        # A longer number is no key of a life; Python refuses to read the longest.
        return int(value) if value.isdecimal() and len(value) < LONGEST_KEY else 0

    @property
    def facts_shown(self) -> list[forms.BoundField]:
        names = ("defect_seen", "condition_found", "why_removed", "removed_at")
        return [self[name] for name in names]

    @property
    def new_shown(self) -> list[forms.BoundField]:
        return [self[n] for n in ("condition_fitted", *self.details, "fitted_at")]

    def clean_location(self) -> str:
        place: str = self.cleaned_data["location"]
        if place not in COMPONENT_OF_LOCATION:
            raise forms.ValidationError("There is no such place in a pump.")
        return place

    def clean(self) -> dict[str, Any]:
        data = self.cleaned_data
        if data.get("taken_out"):
            self._ask("defect_seen", "condition_found", "why_removed")
            if self.old is None:
                self.add_error(None, "This component is not one of this pump.")
        if data.get("fit_new"):
            self._ask("condition_fitted")
            if self.old is not None and not data.get("taken_out"):
                self.add_error("fit_new", "Tick “Taken out” too: one stands there.")
        return data

    def _ask(self, *names: str) -> None:
        for name in names:
            if not self.cleaned_data.get(name) and name not in self.errors:
                self.add_error(name, CHOOSE)

    def out(self) -> ComponentOut | None:
        data = self.cleaned_data
        if not data["taken_out"] or self.old is None:
            return None
        return ComponentOut(
            life=self.old,
            why_removed=data["why_removed"],
            defect_detected=DEFECT_SEEN[data["defect_seen"]],
            condition_found=data["condition_found"],
            removed_at=data["removed_at"],
        )

    def fitted(self) -> ComponentIn | None:
        data = self.cleaned_data
        if not data["fit_new"]:
            return None
        return ComponentIn(
            component=self.component,
            location=data["location"],
            fitted_at=data["fitted_at"],
            life=self.new,
            details={
                "condition_fitted": data["condition_fitted"],
                **{name: data[name] for name in self.details},
            },
        )


SwapFormSet = forms.formset_factory(SwapForm, extra=0)


class AddedForm(forms.Form):
    """A component fitted at a place that stood empty."""

    location = choice_field(
        "Place",
        [
            (str(Component(component).label), [(str(p), p.label) for p in places])
            for component, places in LOCATIONS.items()
        ],
    )
    condition_fitted = choice_field("It is", ConditionFitted.choices)
    part = forms.CharField(
        label="Part number or designation", max_length=60, required=False
    )
    serial = forms.CharField(label="Serial", max_length=60, required=False)

    def clean(self) -> dict[str, Any]:
        data = self.cleaned_data
        for name in ("location", "condition_fitted"):
            if self.has_changed() and not data.get(name) and name not in self.errors:
                self.add_error(name, CHOOSE)
        return data

    def fitted(self) -> ComponentIn | None:
        data = self.cleaned_data
        if not self.has_changed() or not data.get("location"):
            return None
        component = COMPONENT_OF_LOCATION[data["location"]]
        part = "part_number" if component == Component.SEAL else "designation"
        return ComponentIn(
            component=component,
            location=data["location"],
            details={
                "condition_fitted": data["condition_fitted"],
                "serial": data["serial"],
                part: data["part"],
            },
        )


AddedFormSet = forms.formset_factory(AddedForm, extra=1)


def swaps_initial(
    pump: Pump, outs: Sequence[ComponentOut], ins: Sequence[ComponentIn]
) -> list[dict[str, Any]]:
    """One row a place: what stands there now, or what the repair did there."""
    fitted_here = {row.life.pk for row in ins if row.life}
    rows: dict[str, dict[str, Any]] = {}
    for life in pump.lives.still_in():
        if life.pk not in fitted_here:
            rows[life.location] = {"life": life.pk, **_copied(life)}
    for out in outs:
        rows[out.life.location] = {**_out_initial(out), **_copied(out.life)}
    for row in ins:
        if row.life is not None:
            rows.setdefault(row.location, {}).update(_in_initial(row, row.life))
    order = {str(place): index for index, place in enumerate(Location)}
    return [
        {"location": place, **rows[place]}
        for place in sorted(rows, key=lambda place: order[place])
    ]


def _copied(life: FittedLife) -> dict[str, Any]:
    names = [n for n in details_of(life.component) if n not in NOT_COPIED]
    return {name: getattr(life, name) for name in names}


def _out_initial(out: ComponentOut) -> dict[str, Any]:
    seen = next(k for k, value in DEFECT_SEEN.items() if value is out.defect_detected)
    return {
        "life": out.life.pk,
        "taken_out": True,
        "defect_seen": seen,
        "condition_found": out.condition_found,
        "why_removed": out.why_removed,
        "removed_at": out.removed_at,
    }


def _in_initial(row: ComponentIn, life: FittedLife) -> dict[str, Any]:
    return {
        "new_life": life.pk,
        "fit_new": True,
        "condition_fitted": life.condition_fitted,
        "fitted_at": row.fitted_at,
        **{name: getattr(life, name) for name in details_of(life.component)},
    }
