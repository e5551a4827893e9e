"""Fields of the tablet form, step by step; the page's script reads and keeps them.

Nothing is bound or checked here: the sync address refuses what cannot be. Names
carry the path of a value (`noticed-stopped_at`); ROW stands for the key of a row.
"""

from collections.abc import Iterable
from typing import Any

from django import forms

from plant.choices import (
    Arrangement,
    ConditionFitted,
    ConditionFound,
    FlexibleElement,
    SealKind,
    WhyRemoved,
)
from records.choices import (
    Activity,
    Category,
    Cause,
    CostKind,
    CostStatus,
    Detection,
    FailureMode,
    Impact,
    Mechanism,
    OperatingState,
    Release,
)
from records.forms.fields import (
    IMPACT_MEANS,
    choice_field,
    in_families,
    items_by_subunit,
    moment_widget,
    with_codes,
)

ROW = "__row__"
YES_NO_UNKNOWN = [("yes", "Yes"), ("no", "No"), ("unknown", "Not known")]
PLATE_ANSWERS = [
    ("agrees", "It agrees"),
    ("another", "Another number"),
    ("not read", "Not read"),
]
IMPACTS = [(code, f"{label}: {IMPACT_MEANS[code]}") for code, label in Impact.choices]


def one_of(label: str, choices: Iterable[Any], help_text: str = "") -> Any:
    """A few answers as large buttons, none of them chosen."""
    return forms.ChoiceField(
        label=label,
        choices=choices,
        help_text=help_text,
        required=False,
        widget=forms.RadioSelect,
    )


def many_of(label: str, choices: Iterable[Any], help_text: str, near: str) -> Any:
    """A long list; `near` are the answers that also stand as buttons above it."""
    field = choice_field(label, choices, help_text)
    field.widget.attrs["data-near"] = near
    return field


def moment(label: str, help_text: str, now: str = "") -> Any:
    """A time of the site; `now` are the words of a button that fills the present."""
    widget = moment_widget()
    if now:
        widget.attrs["data-now"] = now
    return forms.CharField(
        label=label, help_text=help_text, required=False, widget=widget
    )


def typed(label: str, help_text: str = "", longest: int = 200) -> Any:
    return forms.CharField(
        label=label, help_text=help_text, required=False, max_length=longest
    )


def number(label: str, unit: str = "", help_text: str = "") -> Any:
    """A number typed on the keypad; point or comma, read by the server."""
    widget = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"})
    field: Any = forms.CharField(
        label=label, help_text=help_text, required=False, max_length=30, widget=widget
    )
    field.unit = unit
    return field


class PlateForm(forms.Form):
    answer = one_of("Serial number on the plate", PLATE_ANSWERS)
    serial_read = typed("The number that the plate shows", longest=60)


class NoticedForm(forms.Form):
    reported_at = moment("Reported", "When the trouble was first noticed.", "Now")
    stopped_at = moment("Stopped", "Blank if the pump was never stopped.", "Now")
    category = one_of("Why the work was done", Category.choices)
    failure_mode = many_of(
        "Failure mode", with_codes(FailureMode), "", "ELP|VIB|NOI|OHE|UNK"
    )
    impact = one_of("Impact", IMPACTS)
    detection = many_of("How it was noticed", Detection.choices, "", "8|3|4|7")
    operating_state = one_of("The pump was", OperatingState.choices)
    release = one_of("What escaped", Release.choices)


class FoundForm(forms.Form):
    item = many_of(
        "Failed item",
        items_by_subunit(),
        "Choosing it narrows the patterns below.",
        "mechanical seal|radial bearing|thrust bearing|coupling|unknown",
    )
    mechanism = many_of("Mechanism", in_families(Mechanism), "", "6.4")
    cause = many_of("Cause", in_families(Cause), "", "5.6")


class DoneForm(forms.Form):
    activity = many_of("What was done", Activity.choices, "", "1|2|5|10|6")
    also_renewed = forms.MultipleChoiceField(
        label="Also renewed",
        choices=items_by_subunit(),
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )


class SlotForm(forms.Form):
    """One place of the pump: why its part left, and the part that followed."""

    why_removed = one_of(
        "Taken out because", WhyRemoved.choices, "Leave open when it stays in."
    )
    defect_detected = one_of("Defect seen before it was opened", YES_NO_UNKNOWN)
    condition_found = one_of("Condition found", ConditionFound.choices)
    condition_fitted = one_of("Fitted in its place", ConditionFitted.choices)


class SealForm(forms.Form):
    part_number = typed("Part number")
    serial = typed("Serial number")
    piping_plan = typed("Piping plan", "Blank: the plan of the position.")
    faces = typed("Face pair")
    secondary_seal = typed("Secondary seal")
    arrangement = one_of("Arrangement", Arrangement.choices)
    kind = one_of("Kind", SealKind.choices)
    flexible_element = one_of("Flexible element", FlexibleElement.choices)


class BearingForm(forms.Form):
    designation = typed("Designation")
    serial = typed("Serial number")
    bearing_arrangement = typed("Arrangement")
    lubrication = typed("Lubrication")


class CheckForm(forms.Form):
    found = number("As found")
    left = number("As left")
    unit = forms.ChoiceField(label="Unit", choices=[], required=False)
    out_of_limit_reason = typed("Out of limit as left: why it stays so")
    not_measured_reason = typed("Not measured, because")
    instrument = typed("Instrument", longest=60)
    rotor_mass_kg = number("Mass of the rotor", "kg", "The limit follows from it.")


class HoursForm(forms.Form):
    returned_at = moment("Handed back", "Needed to sign, if it was stopped.", "Now")
    active_hours = number("Work took", "h", "Hands-on time.")
    delay_hours = number("Waiting took", "h", "For parts, people or a permit.")
    man_hours = number("Man-hours", "h")
    meter_hours = number("Running-hour meter", "h", "At the stop. Blank is unknown.")
    is_new_meter = forms.BooleanField(
        label="The meter is new or was reset", required=False
    )


class CostForm(forms.Form):
    """One kind of cost, in the currency of the site."""

    label = ""
    amount = number("Amount")
    status = one_of("How sure", CostStatus.choices)


class ReferencesForm(forms.Form):
    permit_reference = typed("Permit number", longest=60)
    isolation_reference = typed("Isolation number", longest=60)
    decontamination_reference = typed("Decontamination number", longest=60)


class StoryForm(forms.Form):
    text = forms.CharField(
        label="In your own words",
        required=False,
        help_text="What was seen, found and done.",
        widget=forms.Textarea(attrs={"rows": 4}),
    )
    save_anyway = forms.BooleanField(
        label="It is another event than the one in the log: store it", required=False
    )


ROWS = {
    "slot": (SlotForm, f"done-slots-{ROW}"),
    "seal": (SealForm, f"done-slots-{ROW}"),
    "bearing": (BearingForm, f"done-slots-{ROW}"),
    "check": (CheckForm, f"checks-{ROW}"),
}


def steps_forms() -> dict[str, forms.Form]:
    """Every form of the page by the name that its template uses."""
    shown: dict[str, forms.Form] = {
        "plate": PlateForm(prefix="plate"),
        "noticed": NoticedForm(prefix="noticed"),
        "found": FoundForm(prefix="found"),
        "done": DoneForm(prefix="done"),
        "hours": HoursForm(prefix="hours"),
        "references": ReferencesForm(prefix="references"),
        "story": StoryForm(),
    }
    rows = {name: form(prefix=prefix) for name, (form, prefix) in ROWS.items()}
    return shown | rows


def costs_forms() -> list[CostForm]:
    """One for each kind of cost, named by it."""
    rows = []
    for kind in CostKind:
        form = CostForm(prefix=f"costs-{kind.value.replace(' ', '_')}")
        form.label = str(kind.label)
        rows.append(form)
    return rows
