"""Forms of actions: filter, decision, day it was done, reason to drop it, verdict."""

import re
from typing import Any

from django import forms
from django.db.models import Q
from django.utils import timezone

from plant.access import sites_visible
from plant.forms.fields import ChosenOrAny, DayField, what_is_asked
from plant.forms.numbers import TypedDecimalField, TypedFloatField
from plant.models import Position, Pump, Site, User
from records.action_choices import ActionState, ChangeMade, Verdict
from records.models import Action, Repair
from records.selectors.actions import (
    LOOKS,
    ActionFilter,
    owners_at,
    owners_visible,
)

MOST_TAGS = 60
LOOK_CHOICES = [(months, f"{months} months") for months in LOOKS]


class ActionFilterForm(forms.Form):
    text = forms.CharField(
        label="Search",
        help_text="Words of the title, tag, serial number or part.",
        required=False,
        max_length=80,
        widget=forms.TextInput(attrs={"type": "search"}),
    )
    state = ChosenOrAny(ActionState.choices, label="State")
    change_made = ChosenOrAny(ChangeMade.choices, label="Kind of change")
    owner = forms.ModelChoiceField(
        queryset=User.objects.none(), required=False, empty_label="Anybody"
    )
    site = forms.ModelChoiceField(
        queryset=Site.objects.none(), required=False, empty_label="Any"
    )
    overdue_only = forms.BooleanField(label="Overdue only", required=False)
    verdict_due = forms.BooleanField(
        label="Verdict due",
        help_text="Done, and the planned date has come.",
        required=False,
    )

    def __init__(self, *args: Any, user: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        site: Any = self.fields["site"]
        owner: Any = self.fields["owner"]
        site.queryset = sites_visible(user)
        owner.queryset = owners_visible(user)

    def choice(self) -> ActionFilter:
        return ActionFilter(**what_is_asked(self))


class ActionForm(forms.Form):
    """A decision. Tags and numbers are typed as they stand on the plates."""

    title = forms.CharField(
        label="What will be done", max_length=160, help_text="In one line."
    )
    change_made = forms.ChoiceField(
        label="Kind of change", choices=[("", "Choose"), *ChangeMade.choices]
    )
    reason = forms.CharField(
        label="Why",
        required=False,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text="The evidence and what is thought to cause it.",
    )
    site = forms.ModelChoiceField(queryset=Site.objects.none(), empty_label=None)
    tags = forms.CharField(
        label="Positions",
        required=False,
        max_length=2000,
        help_text="Tags with commas between them, all that are treated.",
    )
    serial_number = forms.CharField(
        label="Pump",
        required=False,
        max_length=60,
        help_text="Serial number, where the machine is treated wherever it stands.",
    )
    population = forms.CharField(
        label="Kind of part",
        required=False,
        max_length=120,
        help_text="Part number or designation of seals or bearings.",
    )
    repair_number = forms.CharField(
        label="Finding",
        required=False,
        max_length=40,
        help_text="Number of the repair that showed it.",
    )
    owner = forms.ModelChoiceField(queryset=User.objects.none(), empty_label="Choose")
    due_on = DayField(label="Due")
    expected_fewer_repairs_per_year = TypedFloatField(
        label="Fewer repairs a year, as hoped",
        required=False,
        help_text="Of all units together. Blank: half of what is expected.",
    )
    cost = TypedDecimalField(
        label="Cost",
        required=False,
        max_digits=14,
        decimal_places=2,
        help_text="Once, in the currency of the site.",
    )
    judge_after_months = forms.TypedChoiceField(
        label="Judge after",
        coerce=int,
        choices=LOOK_CHOICES,
        initial=12,
        help_text="One verdict, counted from the day it is done. Earlier looks only "
        "describe.",
    )

    def __init__(self, *args: Any, user: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        site: Any = self.fields["site"]
        owner: Any = self.fields["owner"]
        site.queryset = sites_visible(user)
        owner.queryset = owners_visible(user)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        site = cleaned.get("site")
        if site is not None:
            cleaned["positions"] = self._positions(site, cleaned.get("tags", ""))
            cleaned["pump"] = self._pump(site, cleaned.get("serial_number", ""))
            cleaned["finding"] = self._finding(site, cleaned.get("repair_number", ""))
        return cleaned

    def _positions(self, site: Site, typed: str) -> list[Position]:
        tags = list(dict.fromkeys(filter(None, re.split(r"[,;\s]+", typed))))
        if len(tags) > MOST_TAGS:
            self.add_error("tags", f"Type at most {MOST_TAGS} tags.")
            return []
        rows = Position.objects.filter(site=site, tag__in=tags)
        found = {row.tag: row for row in rows}
        missing = [tag for tag in tags if tag not in found]
        if missing:
            self.add_error("tags", f"No such tag at {site}: {', '.join(missing)}.")
        return [found[tag] for tag in tags if tag in found]

    def _pump(self, site: Site, typed: str) -> Pump | None:
        if not typed:
            return None
        pumps = list(Pump.objects.filter(site=site, serial_number=typed)[:2])
        if len(pumps) != 1:
            words = "Several pumps have" if pumps else "No pump has"
            self.add_error("serial_number", f"{words} this serial number at {site}.")
            return None
        return pumps[0]

    def _finding(self, site: Site, typed: str) -> Repair | None:
        if not typed:
            return None
        repair = Repair.objects.not_void().filter(site=site, number=typed).first()
        if repair is None:
            self.add_error("repair_number", f"No such repair at {site}.")
        return repair

    def decision(self) -> dict[str, Any]:
        """The fields as `action_decide` takes them."""
        typed = ("tags", "serial_number", "repair_number")
        return {k: v for k, v in self.cleaned_data.items() if k not in typed}


FIELD_OF_SERVICE = {
    "positions": "tags",
    "pump": "serial_number",
    "finding": "repair_number",
}


class ChangeForm(forms.Form):
    """What of an open action can still be moved."""

    owner = forms.ModelChoiceField(queryset=User.objects.none(), empty_label=None)
    due_on = DayField(label="Due")
    judge_after_months = forms.TypedChoiceField(
        label="Judge after",
        coerce=int,
        choices=LOOK_CHOICES,
        help_text="Counted from the day it is done; it stands from then on.",
    )

    def __init__(self, data: Any, *, action: Action) -> None:
        names = ("owner", "due_on", "judge_after_months")
        super().__init__(data, initial={name: getattr(action, name) for name in names})
        owner: Any = self.fields["owner"]
        # An owner who has left stays as they are until somebody else is chosen.
        owner.queryset = User.objects.filter(
            Q(pk__in=owners_at(action.site).values("pk")) | Q(pk=action.owner_id)
        ).order_by("username")


class DoneForm(forms.Form):
    done_on = DayField(
        label="Done on", help_text="The day from which the pumps run with the change."
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["done_on"].initial = timezone.localdate


class DropForm(forms.Form):
    reason = forms.CharField(label="Why it is dropped", max_length=300)


class VerdictForm(forms.Form):
    verdict = forms.ChoiceField(
        label="Your verdict", choices=Verdict.choices, widget=forms.RadioSelect
    )
    note = forms.CharField(
        label="Why",
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text="In a sentence or two; it stands beside the figures for good.",
    )
