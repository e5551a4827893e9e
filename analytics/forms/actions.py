"""Forms of decision and verdict beside their figures, and the filter of what worked."""

from typing import Any

from django import forms
from django.http import QueryDict

from plant.access import sites_visible
from plant.models import Position, Pump, Site, User
from records.forms.actions import VerdictForm
from records.models import Repair

PK_DIGITS = 18
LONGEST_REASON = 2_000


def first_values(query: QueryDict, user: User) -> dict[str, Any]:
    """Units, finding and reason that the address names, with the site they are at.

    One that is unknown, or at a site that the user may not see, is left out.
    """
    values: dict[str, Any] = {}
    repair = chosen_row(Repair.objects.visible_to(user), query.get("finding", ""))
    if repair is not None:
        position = repair.position
        values |= {"repair_number": repair.number, "tags": position.tag}
        values["site"] = repair.site_id
    pump = chosen_row(Pump.objects.visible_to(user), query.get("pump", ""))
    if pump is not None:
        values |= {"serial_number": pump.serial_number, "site": pump.site_id}
    position = chosen_row(Position.objects.visible_to(user), query.get("position", ""))
    if position is not None:
        values |= {"tags": position.tag, "site": position.site_id}
    values["owner"] = user.pk
    values["reason"] = query.get("reason", "")[:LONGEST_REASON]
    return values


def chosen_row(rows: Any, text: str) -> Any:
    """The row with the number that an address holds; None for any other text."""
    if not (text.isdecimal() and text.isascii() and len(text) <= PK_DIGITS):
        return None
    return rows.filter(pk=int(text)).first()


class WorkedForm(forms.Form):
    site = forms.ModelChoiceField(
        Site.objects.none(), required=False, empty_label="All sites", label="Site"
    )

    def __init__(self, *args: Any, user: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choice: Any = self.fields["site"]
        choice.queryset = sites_visible(user)

    def is_answerable(self) -> bool:
        return not self.is_bound or self.is_valid()

    def chosen_site(self) -> Site | None:
        if not self.is_bound or not self.is_valid():
            return None
        site: Site | None = self.cleaned_data["site"]
        return site


class JudgingForm(VerdictForm):
    """A verdict, and which figures stood beside it."""

    seen = forms.CharField(required=False, widget=forms.HiddenInput)

    def show_newest(self, version: str) -> None:
        """Sending again judges by the figures shown now; nothing typed is lost."""
        data: Any = self.data.copy()  # type: ignore[attr-defined]
        data["seen"] = version
        self.data = data
