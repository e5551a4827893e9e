"""The facts of one repair; the service decides whether they can be."""

from collections.abc import Sequence
from typing import Any

from django import forms

from plant.models import Position
from records.choices import (
    Activity,
    Category,
    Cause,
    Detection,
    FailureMode,
    Mechanism,
    OperatingState,
    Release,
)
from records.forms.as_is import AsIsForm
from records.forms.fields import (
    choice_field,
    hours_field,
    impact_choices,
    in_families,
    items_by_subunit,
    moment_field,
    with_codes,
)
from records.models import Repair
from records.selectors.repairs import open_stoppages, repair_version
from records.services.life_changes import REASON_LENGTH


class RepairForm(forms.Form):
    """What, when, found, done. Nothing is chosen before the user chooses it."""

    reported_at = moment_field(
        "Reported", "When the trouble was first noticed.", required=True
    )
    stopped_at = moment_field("Stopped", "Blank if the pump was never stopped.")
    returned_at = moment_field("Handed back", "Blank while it is still out.")

    category = choice_field("Why the work was done", Category.choices, required=True)
    detection = choice_field("How it was noticed", Detection.choices)
    operating_state = choice_field("The pump was", OperatingState.choices)
    failure_mode = choice_field("Failure mode", with_codes(FailureMode))
    impact = choice_field(
        "Impact", impact_choices(), "Could it still do its duty: no, partly, yes."
    )
    release = choice_field("What escaped", Release.choices)

    item = choice_field("Failed item", items_by_subunit())
    mechanism = choice_field("Mechanism", in_families(Mechanism))
    cause = choice_field("Cause", in_families(Cause))
    activity = choice_field("What was done", Activity.choices)
    also_renewed = forms.MultipleChoiceField(
        label="Also renewed",
        choices=items_by_subunit(),
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )

    active_hours = hours_field("Work took", "Hands-on time.")
    delay_hours = hours_field("Waiting took", "For parts, people or a permit.")
    man_hours = hours_field("Man-hours")
    text = forms.CharField(
        label="In your own words",
        required=False,
        widget=forms.Textarea(attrs={"rows": 5}),
        help_text="What was seen, found and done.",
    )
    permit_reference = forms.CharField(
        label="Permit number", required=False, max_length=60
    )
    isolation_reference = forms.CharField(
        label="Isolation number", required=False, max_length=60
    )
    decontamination_reference = forms.CharField(
        label="Decontamination number", required=False, max_length=60
    )
    shop_work_of = forms.ModelChoiceField(
        label="Shop work of",
        queryset=Repair.objects.none(),
        required=False,
        empty_label="No, it is a stoppage of its own",
        help_text="Only for shop work on a pump: the repair it belongs to. Shop work "
        "is not counted again.",
    )

    def __init__(self, *args: Any, position: Position, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choice: Any = self.fields["shop_work_of"]
        choice.queryset = open_stoppages(position)


class NewRepairForm(AsIsForm, RepairForm):
    """What is asked only once: number and meter."""

    number = forms.CharField(
        label="Number",
        required=False,
        max_length=40,
        help_text="Blank: the next number of the site.",
    )
    meter_hours = hours_field(
        "Running-hour meter", "At the stop. Blank means unknown, not zero."
    )
    is_new_meter = forms.BooleanField(
        label="The meter is new or was reset", required=False
    )
    save_anyway = forms.BooleanField(
        label="Save anyway: it is another event", required=False
    )


class ChangedRepairForm(AsIsForm, RepairForm):
    """A draft or signed repair as it stands; `version` tells what was opened."""

    version = forms.IntegerField(widget=forms.HiddenInput)

    def __init__(self, *args: Any, repair: Repair, **kwargs: Any) -> None:
        initial = {name: getattr(repair, name) for name in RepairForm.base_fields}
        initial["version"] = repair_version(repair)
        super().__init__(*args, initial=initial, **kwargs)
        choice: Any = self.fields["shop_work_of"]
        choice.queryset = choice.queryset.exclude(pk=repair.pk)


class CorrectionForm(ChangedRepairForm):
    reason = forms.CharField(
        label="Reason for the correction",
        max_length=REASON_LENGTH,
        help_text="It stays in the history beside your name.",
    )


class ReasonForm(forms.Form):
    reason = forms.CharField(
        label="Reason",
        max_length=REASON_LENGTH,
        help_text="It stays in the history beside your name.",
    )


class SignForm(AsIsForm):
    """Which state of the draft was read before signing, and what is asked back."""

    version = forms.IntegerField(widget=forms.HiddenInput)

    def __init__(self, *args: Any, questions: Sequence[str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.ask_as_is(questions)
        if not questions:
            del self.fields["as_is"]
