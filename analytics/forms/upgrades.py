"""An upgrade case as it is typed: tags, money as three figures, and the evidence."""

from collections.abc import Iterator, Mapping
from contextlib import nullcontext
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from django import forms

from analytics.forms.upgrade_fields import (
    AMOUNTS,
    HUNDRED,
    OLD_AND_NEW,
    RANGES,
    SECTIONS,
    TypedRange,
    amount_field,
    range_end,
    ratio_and_settings,
)
from analytics.forms.upgrade_tags import tags_read, tags_written
from analytics.reports.upgrades.assumptions import Assumptions, InvalidAssumptions
from analytics.reports.upgrades.words import out_of_service
from analytics.scope import today
from plant.access import sites_visible
from plant.forms.fields import DayField
from plant.models import Position, Site, User
from plant.zones import site_zone
from records.action_choices import ChangeMade
from records.forms.money_tables import CurrencyField
from records.models import UpgradeCase
from records.selectors.money_tables import currencies_known
from records.services.upgrade_cases import MOST_POSITIONS

# Where the errors of an assumption, or of the service, go on the form.
FIELD_OF = {"old": "old_part", "new": "new_part", "positions": "tags"}


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the form: a plain field, or three for least, likely and most."""

    fields: tuple[forms.BoundField, ...]
    range: TypedRange | None = None


class CaseForm(forms.Form):
    """Everything that is typed into a case; nothing is worked out here."""

    title = forms.CharField(
        label="Name of the case",
        max_length=160,
        help_text="In one line, as the list shall show it.",
    )
    change_made = forms.ChoiceField(
        label="Kind of change",
        choices=[("", "Choose"), *ChangeMade.choices],
        help_text="An action that comes of it is compared with others of this kind.",
    )
    site = forms.ModelChoiceField(
        queryset=Site.objects.none(),
        empty_label=None,
        help_text="A case is of one site.",
    )
    tags = forms.CharField(
        label="Positions",
        max_length=2000,
        help_text="Tags with commas between them, all that would be changed.",
    )
    as_of = DayField(
        label="Records up to",
        help_text="The last day whose records count; the figures stay as of that day.",
    )
    currency = CurrencyField(
        label="Currency",
        required=False,
        help_text="Three letters; blank is that of the site. Costs on record in others "
        "are listed and never added.",
    )
    version = forms.IntegerField(required=False, widget=forms.HiddenInput)

    def __init__(self, *args: Any, user: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        site: Any = self.fields["site"]
        site.queryset = sites_visible(user)
        self.fields |= ratio_and_settings()
        for name, typed in RANGES.items():
            for end in ("_least", "", "_most"):
                self.fields[f"{name}{end}"] = range_end(typed, end)
        for name, (label, help_text) in AMOUNTS.items():
            self.fields[name] = amount_field(label, help_text)

    def hold_site(self, site: Site) -> None:
        """A stored case stays at its site."""
        field: Any = self.fields["site"]
        field.queryset = Site.objects.filter(pk=site.pk)

    @property
    def sections(self) -> Iterator[tuple[str, str, list[Entry]]]:
        """Heading, a sentence of help, and the lines below it."""
        for heading, help_text, names in SECTIONS:
            yield heading, help_text, [self._entry(name) for name in names]

    def _entry(self, name: str) -> Entry:
        if name not in RANGES:
            return Entry((self[name],))
        ends = tuple(self[f"{name}{end}"] for end in ("_least", "", "_most"))
        return Entry(ends, RANGES[name])

    def clean_as_of(self) -> date:
        day: date = self.cleaned_data["as_of"]
        # The day ends at the site of the case; that field is read before this one.
        site = self.cleaned_data.get("site")
        with site_zone(site) if site else nullcontext():
            if day > today():
                raise forms.ValidationError("Choose today or an earlier day.")
        return day

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        site = cleaned.get("site")
        if site is not None and "tags" in cleaned:
            cleaned["positions"] = self._positions(site, cleaned["tags"])
        if site is not None and cleaned.get("currency"):
            self._refuse_unknown(cleaned["currency"], site)
        try:
            cleaned["assumptions"] = Assumptions.from_json(typed_assumptions(cleaned))
        except InvalidAssumptions as refused:
            for word, sentence in refused.fields.items():
                self._refuse(FIELD_OF.get(word, word), sentence)
        return cleaned

    def _refuse(self, name: str, sentence: str) -> None:
        """Beside its field, unless what was typed there is refused already."""
        ends = (f"{name}_least", name, f"{name}_most")
        if not any(end in self.errors for end in ends):
            self.add_error(name if name in self.fields else None, sentence)

    def _positions(self, site: Site, typed: str) -> list[Position]:
        known = set(Position.objects.filter(site=site).values_list("tag", flat=True))
        tags = tags_read(typed, known)
        if len(tags) > MOST_POSITIONS:
            self.add_error("tags", f"Type at most {MOST_POSITIONS} tags.")
            return []
        found = {
            row.tag: row for row in Position.objects.filter(site=site, tag__in=tags)
        }
        missing = [tag for tag in tags if tag not in found]
        if missing:
            self.add_error("tags", f"No such tag at {site}: {', '.join(missing)}.")
        positions = [found[tag] for tag in tags if tag in found]
        as_of = self.cleaned_data.get("as_of")
        if as_of is not None and (gone := out_of_service(positions, as_of)):
            self.add_error("tags", gone)
        return positions

    def _refuse_unknown(self, currency: str, site: Site) -> None:
        """A slip of a letter would make a currency that no amount is in."""
        if currency in (site.currency, self.initial.get("currency")):
            return
        known = currencies_known(site)
        if currency in known:
            return
        self.add_error(
            "currency",
            f"Nothing at {site} is in {currency}: no cost, rate of exchange or price "
            f"level. Known are {', '.join(known)}; an administrator adds others at "
            "Rates and price levels.",
        )

    def decision(self) -> dict[str, Any]:
        """The fields as the services of a case take them."""
        names = ("title", "change_made", "positions", "as_of", "currency")
        chosen = {name: self.cleaned_data[name] for name in names}
        return chosen | {"assumptions": self.cleaned_data["assumptions"].to_json()}


def typed_assumptions(cleaned: Mapping[str, Any]) -> dict[str, Any]:
    """What was typed as the stored record of assumptions; blanks are left out."""
    plain = (
        *("horizon_years", "timing", "what_fails", "window_months"),
        *("ratio_from", "payback_months", *AMOUNTS),
    )
    found = {n: cleaned[n] for n in plain if cleaned.get(n) not in (None, "")}
    rate = cleaned.get("discount_percent")
    if rate is not None:
        found["discount_rate"] = rate / HUNDRED
    for side in OLD_AND_NEW:
        words = {key: cleaned.get(f"{side}_{key}", "") for key in ("part", "plan")}
        found[side] = words | {"component": cleaned.get("component", "seal")}
    return found | typed_ranges(cleaned)


def typed_ranges(cleaned: Mapping[str, Any]) -> dict[str, Any]:
    found = {}
    for name in RANGES:
        least, likely, most = (
            cleaned.get(f"{name}{end}") for end in ("_least", "", "_most")
        )
        if (least, likely, most) != (None, None, None):
            if likely is None:
                likely = _middle(least, most)
            found[name] = {"least": least, "likely": likely, "most": most}
    return found


def _middle(least: Decimal | None, most: Decimal | None) -> Decimal:
    """The likely value where only the ends are typed; one end alone is refused."""
    ends = [end for end in (least, most) if end is not None]
    return sum(ends, Decimal(0)) / len(ends)


def first_values(case: UpgradeCase) -> dict[str, Any]:
    """A stored case as the form shows it; what cannot be read keeps its default."""
    try:
        assumed = Assumptions.from_json(case.assumptions)
    except InvalidAssumptions:
        assumed = Assumptions()
    tags = sorted(position.tag for position in case.positions.all())
    return {
        "title": case.title,
        "change_made": case.change_made,
        "site": case.site_id,
        "tags": tags_written(tags),
        "as_of": case.as_of,
        "currency": case.currency,
        **assumed_values(assumed),
    }


def assumed_values(assumed: Assumptions) -> dict[str, Any]:
    """Assumptions as initial values of the fields."""
    names = (
        *("horizon_years", "timing", "what_fails", "window_months"),
        *("ratio_from", "payback_months", *AMOUNTS),
    )
    values: dict[str, Any] = {name: getattr(assumed, name) for name in names}
    if assumed.discount_rate is not None:
        values["discount_percent"] = (assumed.discount_rate * HUNDRED).normalize()
    for side in OLD_AND_NEW:
        kind = getattr(assumed, side)
        values |= {f"{side}_part": kind.part, f"{side}_plan": kind.plan}
        values["component"] = kind.component
    for name in RANGES:
        figure = getattr(assumed, name)
        if figure is not None:
            values |= {
                f"{name}_least": figure.least,
                name: figure.likely,
                f"{name}_most": figure.most,
            }
    return values
