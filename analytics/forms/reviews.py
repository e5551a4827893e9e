"""Forms of the reviews: open a month, decide about a unit, send the page."""

from datetime import date
from typing import Any

from django import forms
from django.db.models import Q

from analytics.exposure import months_back
from analytics.models.review import Decision
from analytics.scope import today
from analytics.services.reviews import WINDOWS
from plant.access import sites_visible
from plant.days import FIRST_DAY
from plant.models import Position, Pump, Site, User
from records.action_choices import ActionState
from records.models import Action
from records.selectors.actions import actions_about
from records.tables.actions import state_words

MONTH_WIDGET = forms.TextInput(attrs={"type": "month", "placeholder": "2025-03"})


class MonthField(forms.Field):
    """A month typed as 2025-03; its first day comes out."""

    def to_python(self, value: Any) -> date | None:
        text = str(value or "").strip()
        if not text:
            return None
        try:
            month = date.fromisoformat(f"{text}-01")
        except ValueError:
            raise forms.ValidationError("Type a month as 2025-03.") from None
        if month < FIRST_DAY:
            raise forms.ValidationError(f"Choose a month from {FIRST_DAY} on.")
        return month


class ReviewOpenForm(forms.Form):
    site = forms.ModelChoiceField(Site.objects.none(), empty_label=None)
    month = MonthField(label="Month", widget=MONTH_WIDGET)
    window_months = forms.TypedChoiceField(
        label="Window that ends with it",
        choices=[(months, f"{months} months") for months in WINDOWS],
        coerce=int,
    )

    def __init__(self, data: Any, *, user: User) -> None:
        last = today().replace(day=1)
        # The review is held early in the month after.
        usual = months_back(last, 1)
        super().__init__(data, initial={"month": f"{usual:%Y-%m}"})
        site: Any = self.fields["site"]
        site.queryset = sites_visible(user)


class DecisionForm(forms.Form):
    decision = forms.ChoiceField(choices=[("", "Choose"), *Decision.choices])
    action = forms.ModelChoiceField(
        Action.objects.none(),
        required=False,
        empty_label="None",
        help_text="The one that follows from it; to act needs one.",
    )
    note = forms.CharField(
        required=False,
        max_length=1000,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text="To accept needs a reason.",
    )
    seen = forms.CharField(required=False, widget=forms.HiddenInput)

    def __init__(
        self, *args: Any, unit: Position | Pump, user: User, **options: Any
    ) -> None:
        super().__init__(*args, **options)
        about: dict[str, Any] = {unit._meta.model_name or "": unit}
        of_unit = list(actions_about(user=user, **about))
        at_site = Action.objects.filter(site=unit.site)
        of_parts = at_site.filter(state=ActionState.OPEN, pump=None, positions=None)
        of_parts = of_parts.exclude(population="").exclude(
            pk__in=[row.pk for row in of_unit]
        )
        action: Any = self.fields["action"]
        action.queryset = at_site
        action.choices = [
            ("", "None"),
            (f"About {unit}", [_choice(row) for row in of_unit if _may_follow(row)]),
            ("About a kind of part", [_choice(row) for row in of_parts]),
        ]

    def show_newest(self, version: str) -> None:
        """After a stale form, sending again is meant: nothing typed is lost."""
        data: Any = self.data.copy()  # type: ignore[attr-defined]
        data["seen"] = version
        self.data = data


def _may_follow(action: Action) -> bool:
    return action.state != ActionState.DROPPED


def _choice(action: Action) -> tuple[int, str]:
    return action.pk, f"{action.title} ({state_words(action).lower()})"


class NoteForm(forms.Form):
    note = forms.CharField(
        label="Note",
        help_text="It stands above the whole review.",
        required=False,
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 3}),
    )


class SendForm(forms.Form):
    people = forms.ModelMultipleChoiceField(
        User.objects.none(),
        label="Send it to",
        widget=forms.CheckboxSelectMultiple,
        help_text="People of this site whose log-in has an e-mail address.",
    )

    def __init__(self, data: Any, *, site: Site) -> None:
        super().__init__(data)
        people: Any = self.fields["people"]
        people.queryset = mailable(site)


def mailable(site: Site) -> Any:
    """People who may see the site and have an address."""
    may_see = Q(sees_all_sites=True) | Q(sites=site)
    people = User.objects.filter(may_see, is_active=True).exclude(email="")
    return people.distinct().order_by("username")
