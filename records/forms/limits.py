"""A site's own limit of a check, and what the list of limits shows."""

from typing import Any

from django import forms

from plant.access import sites_visible
from plant.forms.numbers import TypedFloatField
from plant.models import Site, User
from records.check_catalogue import CATALOGUE
from records.check_choices import Certainty, CheckKind
from records.models import CheckLimit

FACTS = ("site", "kind", "design", "size", "low", "high", "source", "certainty")


class LimitFilterForm(forms.Form):
    site = forms.ModelChoiceField(
        queryset=Site.objects.none(), required=False, empty_label="Any"
    )
    kind = forms.ChoiceField(
        label="Check", choices=[("", "Any"), *CheckKind.choices], required=False
    )

    def __init__(self, *args: Any, user: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        site: Any = self.fields["site"]
        site.queryset = sites_visible(user)

    def choice(self) -> tuple[Site | None, str]:
        """Site and kind asked for; what cannot be read leaves nothing out."""
        if not self.is_bound:
            return None, ""
        self.is_valid()
        return self.cleaned_data.get("site"), self.cleaned_data.get("kind", "")


class LimitForm(forms.Form):
    site = forms.ModelChoiceField(queryset=Site.objects.none())
    kind = forms.ChoiceField(
        label="Check",
        choices=[
            (kind.value, f"{described.label} ({described.unit})")
            for kind, described in CATALOGUE.items()
        ],
    )
    design = forms.CharField(
        max_length=60, required=False, help_text="Of the pump; empty: any design."
    )
    size = forms.CharField(
        max_length=40, required=False, help_text="Of the pump; empty: any size."
    )
    low = TypedFloatField(
        label="Lowest",
        required=False,
        min_value=0,
        help_text="In the unit of the check; empty: no lower end.",
    )
    high = TypedFloatField(
        label="Highest",
        required=False,
        min_value=0,
        help_text="In the unit of the check; empty: no upper end.",
    )
    source = forms.CharField(
        max_length=200, help_text="Drawing, manual or decision it comes from."
    )
    certainty = forms.ChoiceField(
        label="How sure", choices=Certainty.choices, initial=Certainty.SITE
    )

    def __init__(
        self, *args: Any, user: User, limit: CheckLimit | None = None, **kwargs: Any
    ) -> None:
        if limit is not None:
            kwargs["initial"] = {name: getattr(limit, name) for name in FACTS}
        super().__init__(*args, **kwargs)
        sites = sites_visible(user)
        site: Any = self.fields["site"]
        site.queryset = sites
        if len(sites) == 1:
            site.initial = sites[0]
