"""Forms beside the case itself: filter, comparison, withdrawal, turning to action."""

from datetime import timedelta
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from analytics.reports.upgrades.assumptions import PAYBACK_MONTHS
from analytics.scope import today
from plant.access import sites_visible
from plant.forms.fields import ChosenOrAny, DayField, what_is_asked
from plant.models import Site, User
from records.action_choices import ChangeMade
from records.forms.actions import LOOK_CHOICES
from records.models import UpgradeCase
from records.selectors.actions import owners_at
from records.selectors.upgrade_cases import (
    CaseFilter,
    CaseState,
    cases_chosen,
    upgrade_cases_filtered,
)
from records.services.life_changes import REASON_LENGTH

FEWEST_COMPARED, MOST_COMPARED = 2, 4
MOST_OFFERED = 60
USUAL_MONTHS = 24
USUAL_DAYS_TO_DO_IT = 180


class CaseFilterForm(forms.Form):
    text = forms.CharField(
        label="Search",
        help_text="Words of the name, or a tag.",
        required=False,
        max_length=80,
        widget=forms.TextInput(attrs={"type": "search"}),
    )
    site = forms.ModelChoiceField(
        queryset=Site.objects.none(), required=False, empty_label="Any"
    )
    state = ChosenOrAny(CaseState.choices, blank="All but the withdrawn", label="State")
    change_made = ChosenOrAny(ChangeMade.choices, label="Kind of change")

    def __init__(self, *args: Any, user: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        site: Any = self.fields["site"]
        site.queryset = sites_visible(user)

    def choice(self) -> CaseFilter:
        return CaseFilter(**what_is_asked(self))


class CompareForm(forms.Form):
    """Two to four cases, and the months by which they are to have paid back."""

    case = forms.TypedMultipleChoiceField(
        label="Cases",
        coerce=int,
        widget=forms.CheckboxSelectMultiple,
        help_text=f"Tick {FEWEST_COMPARED} to {MOST_COMPARED} of them.",
    )
    months = forms.TypedChoiceField(
        label="Paid back within",
        coerce=int,
        choices=[(months, f"{months} months") for months in PAYBACK_MONTHS],
        initial=USUAL_MONTHS,
    )

    def __init__(self, data: Any, *, user: User) -> None:
        super().__init__(_with_months(data) if data and data.getlist("case") else None)
        field: Any = self.fields["case"]
        field.choices = [(case.pk, _named(case)) for case in _offered(user, data)]

    def clean_case(self) -> list[int]:
        chosen: list[int] = self.cleaned_data["case"]
        if not FEWEST_COMPARED <= len(chosen) <= MOST_COMPARED:
            raise ValidationError(
                f"Tick {FEWEST_COMPARED} to {MOST_COMPARED} cases; {len(chosen)} "
                f"{'is' if len(chosen) == 1 else 'are'} ticked."
            )
        return chosen


def _with_months(data: Any) -> Any:
    """A link may name cases only: the months are then, and show, the usual ones."""
    asked = data.copy()
    asked.setdefault("months", str(USUAL_MONTHS))
    return asked


def _offered(user: User, data: Any) -> list[UpgradeCase]:
    """The newest cases in sight, and any that the address names."""
    rows = upgrade_cases_filtered(user=user, choice=CaseFilter())
    newest = list(rows[:MOST_OFFERED])
    asked = [key for key in (data.getlist("case") if data else []) if _is_key(key)]
    named = {int(key) for key in asked[:MOST_COMPARED]} - {row.pk for row in newest}
    return [*newest, *(cases_chosen(user=user, keys=named) if named else [])]


def _is_key(text: str) -> bool:
    return text.isascii() and text.isdecimal() and len(text) <= 18


def _named(case: UpgradeCase) -> str:
    return f"{case.title}, {case.site}"


class WithdrawForm(forms.Form):
    reason = forms.CharField(
        label="Why it is withdrawn",
        max_length=REASON_LENGTH,
        help_text="It stays on record, and can be brought back.",
    )


class CaseActionForm(forms.Form):
    """What a case needs to become an action."""

    owner = forms.ModelChoiceField(
        queryset=User.objects.none(),
        empty_label="Choose",
        help_text="Who sees to it; people of the site.",
    )
    due_on = DayField(label="Due", help_text="The day by which it shall be done.")
    judge_after_months = forms.TypedChoiceField(
        label="Judge after",
        coerce=int,
        choices=LOOK_CHOICES,
        initial=12,
        help_text="One verdict, counted from the day it is done.",
    )
    reason = forms.CharField(
        label="Why",
        required=False,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text="It stands with the action; the figures of the case are frozen "
        "beside it by themselves.",
    )
    # What was offered as the reason: untouched, it is renewed with the case.
    offered = forms.CharField(required=False, widget=forms.HiddenInput)
    version = forms.IntegerField(widget=forms.HiddenInput)

    def __init__(self, data: Any, *, case: UpgradeCase, **kwargs: Any) -> None:
        super().__init__(data, **kwargs)
        owner: Any = self.fields["owner"]
        owner.queryset = owners_at(case.site)
        self.fields["due_on"].initial = today() + timedelta(days=USUAL_DAYS_TO_DO_IT)

    def renew_reason(self, headline: str) -> None:
        """Offer what the case says now, where the reason is still what was offered."""
        data = self.data.copy()  # type: ignore[attr-defined]
        if data.get("reason", "").split() == data.get("offered", "").split():
            data["reason"] = headline
        data["offered"] = headline
        self.data = data

    def decision(self) -> dict[str, Any]:
        """The fields as the service takes them."""
        return {k: v for k, v in self.cleaned_data.items() if k != "offered"}
