"""The question form of the Life page; sent with GET, so its address can be shared."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import Any

from django import forms
from django.http import QueryDict

from analytics.ages import Clock
from analytics.reports.life.question import (
    COMPONENT_NAMES,
    COMPONENTS,
    CONDITION_NAMES,
    CONDITIONS,
    LifeQuestion,
)
from analytics.samples import Rejects, SampleRule, end_of_day
from analytics.scope import today
from plant.access import sites_visible
from plant.choices import Component, Ending, Location
from plant.forms.years import BoundedDayField
from plant.models import Area, User
from records.selectors.lives import LifeFilter, life_choices

FAILURE_CHOICES = [
    Ending.FAILED,
    Ending.DAMAGED,
    Ending.PLANNED,
    Ending.SOUND,
    Ending.NOT_INSPECTED,
    Ending.UPGRADED,
    Ending.RETIRED,
]
CLOCKS = [
    (Clock.HOURS, "Running hours"),
    (Clock.DAYS, "Calendar days in service"),
    (Clock.STARTS, "Starts"),
]
REJECTS = [
    (Rejects.SITE_RULE, "By the site's rule"),
    (Rejects.FAILURE, "As failures"),
    (Rejects.SUSPENSION, "As suspensions"),
]
ANY = ("", "All")
POPULATION_FIELDS = (
    *("component", "part", "plan", "site", "area", "liquid", "location"),
    *("condition", "fitted_from", "fitted_to", "clock", "as_of"),
)
SAID_ELSEWHERE = {"component", "part", "plan", "clock", "as_of"}
COUNTING_FIELDS = (
    *("rejects", "measured", "confidence", "percent", "shape"),
    *("compare_part", "compare_plan"),
)
DEFAULTS = {
    "condition": "new",
    "clock": str(Clock.HOURS),
    "rejects": str(Rejects.SITE_RULE),
    "confidence": "90",
    "percent": "10",
    "endings": str(Ending.FAILED),
}
Choices = list[tuple[Any, Any]]


class LifeForm(forms.Form):
    component = forms.ChoiceField(choices=list(COMPONENT_NAMES.items()), required=False)
    part = forms.ChoiceField(label="Part or designation", required=False, choices=[ANY])
    plan = forms.ChoiceField(label="Piping plan", required=False, choices=[ANY])
    site = forms.TypedChoiceField(
        required=False, coerce=int, empty_value=None, choices=[ANY]
    )
    area = forms.TypedChoiceField(
        required=False, coerce=int, empty_value=None, choices=[ANY]
    )
    liquid = forms.ChoiceField(required=False, choices=[ANY])
    location = forms.ChoiceField(
        label="Place in the pump", required=False, choices=[ANY]
    )
    condition = forms.ChoiceField(
        label="Condition when fitted",
        required=False,
        choices=list(CONDITION_NAMES.items()),
    )
    fitted_from = BoundedDayField(label="Fitted from", required=False)
    fitted_to = BoundedDayField(label="Fitted to", required=False)
    clock = forms.ChoiceField(label="Age counted in", required=False, choices=CLOCKS)
    as_of = BoundedDayField(label="As of end of day", required=False)
    confidence = forms.FloatField(
        required=False, min_value=50, max_value=99.9, help_text="Two-sided; default 90."
    )
    percent = forms.FloatField(
        label="Age by which this share failed",
        required=False,
        min_value=0.1,
        max_value=99,
        help_text="10 gives the B10 life.",
    )
    shape = forms.FloatField(
        label="Assumed shape",
        required=False,
        min_value=0.1,
        max_value=20,
        help_text="For samples too small to give their own.",
    )
    measured = forms.BooleanField(label="Measured hours only", required=False)
    rejects = forms.ChoiceField(
        label="Rejected at inspection count", required=False, choices=REJECTS
    )
    compare_part = forms.ChoiceField(
        label="Compare with part", required=False, choices=[ANY]
    )
    compare_plan = forms.ChoiceField(
        label="Compare with plan", required=False, choices=[ANY]
    )
    endings = forms.MultipleChoiceField(
        label="Endings that count as failure",
        required=False,
        widget=forms.CheckboxSelectMultiple,
        choices=[(str(ending), ending.label) for ending in FAILURE_CHOICES],
        help_text="Every other ending becomes a suspension; none disappears.",
    )

    def __init__(self, data: QueryDict | None, *, user: User) -> None:
        found = life_choices(user)
        self.component_of_part = {_part(row): row["component"] for row in found}
        super().__init__(self._with_defaults(data) if data else None)
        parts = _parts(found)
        plans = _listed(row["piping_plan"] for row in found)
        self._offer("part", parts)
        self._offer("plan", plans)
        self._offer("compare_part", parts, empty=("", "None"))
        self._offer("compare_plan", plans, empty=("", "None"))
        self._offer("liquid", _listed(row["liquid"] for row in found))
        used = {row["location"] for row in found}
        self._offer("location", [c for c in Location.choices if c[0] in used])
        sites = sites_visible(user)
        self._offer("site", [(site.pk, site.name) for site in sites])
        areas = Area.objects.filter(site__in=sites).select_related("site")
        self._offer("area", [(a.pk, f"{a.site}: {a.name}") for a in areas])
        for name, value in DEFAULTS.items():
            self.fields[name].initial = value
        for name in ("fitted_from", "fitted_to", "as_of"):
            self.fields[name].widget = forms.DateInput(attrs={"type": "date"})

    def _with_defaults(self, data: QueryDict) -> QueryDict:
        """The question as sent, with what it leaves open filled in for all to see."""
        filled = data.copy()
        if not filled.get("component"):
            # An address that names only a part means the component it belongs to.
            part = filled.get("part", "")
            filled["component"] = self.component_of_part.get(part, "seal")
        for name, value in DEFAULTS.items():
            if not filled.get(name):
                filled[name] = value
        return filled

    def clean_as_of(self) -> date | None:
        day: date | None = self.cleaned_data["as_of"]
        if day is not None and day > today():
            raise forms.ValidationError("Choose today or an earlier day.")
        return day

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        first, last = cleaned.get("fitted_from"), cleaned.get("fitted_to")
        if first and last and first > last:
            self.add_error("fitted_to", f"Choose {first} or a later day.")
        return cleaned

    @property
    def population_fields(self) -> list[forms.BoundField]:
        """Which lives."""
        return [self[name] for name in POPULATION_FIELDS]

    @property
    def counting_fields(self) -> list[forms.BoundField]:
        """How they are counted; the endings stand apart."""
        return [self[name] for name in COUNTING_FIELDS]

    def in_words(self) -> str:
        """What narrows the population, for whoever does not see the form."""
        said = []
        for field in self.population_fields:
            chosen = self.cleaned_data.get(field.name) if self.is_bound else None
            usual = DEFAULTS.get(field.name)
            if chosen and chosen != usual and field.name not in SAID_ELSEWHERE:
                said.append(f"{field.label.lower()} {self._shown(field, chosen)}")
        return f"Only {'; '.join(said)}." if said else ""

    @staticmethod
    def _shown(field: forms.BoundField, chosen: Any) -> str:
        names = dict(getattr(field.field, "choices", ()))
        return str(names.get(chosen, chosen))

    @property
    def counting_is_chosen(self) -> bool:
        """Whether anything but the usual way of counting was asked for."""
        return self.is_bound and any(
            self.data.get(name, "") != DEFAULTS.get(name, "")
            for name in (*COUNTING_FIELDS, "endings")
        )

    def _offer(self, name: str, choices: Choices, empty: tuple[str, str] = ANY) -> None:
        field = self.fields[name]
        field.choices = [empty, *choices]  # type: ignore[attr-defined]

    def question(self) -> LifeQuestion:
        """The question as asked; defaults where nothing was chosen."""
        given = self.cleaned_data if self.is_bound else {}
        part, component = given.get("part", ""), given.get("component") or "seal"
        compare = (given.get("compare_part", ""), given.get("compare_plan", ""))
        return LifeQuestion(
            component=component,
            choice=LifeFilter(
                components=COMPONENTS[component],
                part=part,
                piping_plan=given.get("plan", ""),
                site=given.get("site"),
                area=given.get("area"),
                liquid=given.get("liquid", ""),
                location=given.get("location", ""),
                fitted_from=given.get("fitted_from"),
                fitted_to=given.get("fitted_to"),
            ),
            rule=SampleRule(
                as_of=end_of_day(given.get("as_of") or today()),
                clock=Clock(given.get("clock") or Clock.HOURS),
                failure_endings=frozenset(given.get("endings") or [Ending.FAILED]),
                rejects=Rejects(given.get("rejects") or Rejects.SITE_RULE),
                measured_only=bool(given.get("measured")),
                conditions=CONDITIONS[given.get("condition") or "new"],
            ),
            confidence=(given.get("confidence") or 90.0) / 100,
            percent=given.get("percent") or 10.0,
            assumed_shape=given.get("shape"),
            compare=compare if any(compare) else None,
        )


def _listed(values: Iterable[str]) -> Choices:
    return [(value, value) for value in sorted({value for value in values if value})]


def _part(row: Mapping[str, Any]) -> str:
    named_by = "part_number" if row["component"] == Component.SEAL else "designation"
    return str(row[named_by])


def _parts(found: Sequence[Mapping[str, Any]]) -> Choices:
    """Part numbers and designations, apart by what they name."""
    seals = {_part(row) for row in found if row["component"] == Component.SEAL}
    bearings = {_part(row) for row in found if row["component"] != Component.SEAL}
    groups = [("Seals", _listed(seals)), ("Bearings", _listed(bearings))]
    return [(name, parts) for name, parts in groups if parts]
