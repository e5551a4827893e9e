"""Fields of an upgrade case: what each is called, asks and means."""

from dataclasses import dataclass
from decimal import Decimal

from django import forms

from analytics.reports.life.question import COMPONENT_NAMES
from analytics.reports.upgrades.assumptions import (
    DEFAULT_RATE,
    LONGEST_HORIZON,
    PAYBACK_MONTHS,
    WINDOWS,
    RatioFrom,
    WhatFails,
)
from plant import display
from plant.forms.numbers import TypedDecimalField

HUNDRED = Decimal(100)
OLD_AND_NEW = ("old", "new")
TIMINGS = [("end_of_year", "At the end of each year"), ("mid_year", "In mid-year")]
MONEY_DIGITS = {"max_digits": 14, "decimal_places": 2}


@dataclass(frozen=True, slots=True)
class TypedRange:
    """A figure of least, likely and most."""

    label: str
    help_text: str


RANGES = {
    "purchase": TypedRange(
        "Purchase", "Parts, all positions together. Spent today, in prices of today."
    ),
    "installation": TypedRange(
        "Installation", "Labour, contractor, piping, all positions together."
    ),
    "lead_months": TypedRange(
        "Lead time, months",
        "From today until the change works; nothing is saved before.",
    ),
    "energy_change": TypedRange(
        "Energy a year", "What the change adds; with a minus, what it saves."
    ),
    "water_change": TypedRange(
        "Water a year", "Flush or cooling water that it adds, or saves with a minus."
    ),
    "barrier_fluid_change": TypedRange(
        "Barrier fluid a year",
        "Fluid and its care that it adds, or saves with a minus.",
    ),
    "typed_ratio": TypedRange(
        "Failures after over failures before, typed",
        "0.5 halves them. Beside evidence from records it is only shown for "
        "comparison; alone it rests on no record, and the page says so.",
    ),
    "repair_cost": TypedRange(
        "Repair cost of one failure", "Blank: measured from the ledger."
    ),
    "lost_production": TypedRange(
        "Lost production of one failure", "Blank: measured from the ledger."
    ),
    "environment": TypedRange(
        "Environment and safety of one failure", "Blank: measured from the ledger."
    ),
}
AMOUNTS = {
    "running_energy": ("Energy a year as it is", "All positions, before the change."),
    "running_operation": ("Operation a year", "Rounds, water and fluids as they are."),
    "running_planned": ("Planned maintenance a year", "Beside repairs of failures."),
    "disposal": ("Disposal at the end", "With a minus where scrap brings money."),
}
SECTIONS = (
    (
        "What would be changed",
        "",
        ("title", "change_made", "site", "tags", "as_of", "currency"),
    ),
    (
        "Spent once",
        "Type the likely figure; least and most too where it is uncertain.",
        ("purchase", "installation", "lead_months"),
    ),
    (
        "What the change adds or saves each year",
        "All positions together, from the day on which the change works.",
        ("energy_change", "water_change", "barrier_fluid_change"),
    ),
    (
        "Failures avoided",
        "How many come now is taken from the records of these positions and their "
        "equals; how many stay after the change comes from one of these sources.",
        (
            *("what_fails", "window_months", "ratio_from", "component"),
            *("old_part", "old_plan", "new_part", "new_plan", "typed_ratio"),
        ),
    ),
    (
        "Money of one failure",
        "Only where the ledger does not tell it.",
        ("repair_cost", "lost_production", "environment"),
    ),
    (
        "Years and interest",
        "",
        ("horizon_years", "discount_percent", "timing", "payback_months"),
    ),
    (
        "Running costs that stay as they are",
        "They weigh nothing in the saving; the life-cycle cost needs them to be whole.",
        tuple(AMOUNTS),
    ),
)


class RangeEnd(TypedDecimalField):
    """One of three; `end` is what stands over it, below the name of the range."""

    def __init__(self, typed: TypedRange, end: str) -> None:
        label = f"{typed.label}, {end}"
        super().__init__(label=label, required=False, max_digits=14, decimal_places=4)
        self.end = end.capitalize()
        self.widget.attrs["aria-label"] = label


def range_end(typed: TypedRange, suffix: str) -> RangeEnd:
    return RangeEnd(typed, suffix.removeprefix("_") or "likely")


def amount_field(label: str, help_text: str) -> TypedDecimalField:
    return TypedDecimalField(
        label=label, help_text=help_text, required=False, **MONEY_DIGITS
    )


def ratio_and_settings() -> dict[str, forms.Field]:
    """Fields of the evidence and of years and interest."""
    return {**_evidence(), **_parts(), **_settings()}


def _evidence() -> dict[str, forms.Field]:
    return {
        "what_fails": _choice(
            "What counts as a failure",
            WhatFails.choices,
            "Failures by the counting rule of the site.",
        ),
        "window_months": _number_choice(
            "Measured over", WINDOWS, 36, "Months that end with the day above."
        ),
        "ratio_from": forms.ChoiceField(
            label="Failures after the change are known from",
            choices=RatioFrom.choices,
            initial=RatioFrom.FLEET,
            widget=forms.RadioSelect,
        ),
        "component": _choice(
            "Kind of part", list(COMPONENT_NAMES.items()), "Of the two named below."
        ),
    }


def _settings() -> dict[str, forms.Field]:
    usual_rate = display.percent(DEFAULT_RATE)
    return {
        "horizon_years": forms.IntegerField(
            label="Years looked at",
            initial=10,
            min_value=1,
            max_value=LONGEST_HORIZON,
            help_text="How long the change is expected to serve.",
        ),
        "discount_percent": TypedDecimalField(
            label="Interest a year, %",
            required=False,
            min_value=0,
            max_value=99,
            max_digits=5,
            decimal_places=2,
            help_text="Above inflation, as prices are those of today. Blank: that of "
            f"the site, else {usual_rate}.",
        ),
        "timing": _choice(
            "Savings are taken to come",
            TIMINGS,
            "Mid-year values them a little higher.",
        ),
        "payback_months": _number_choice(
            "Months of the first sentence",
            PAYBACK_MONTHS,
            24,
            "The page says how likely it has paid back by then.",
        ),
    }


def _parts() -> dict[str, forms.Field]:
    words = {"old": "now", "new": "after the change"}
    found: dict[str, forms.Field] = {}
    for side, when in words.items():
        found[f"{side}_part"] = forms.CharField(
            label=f"Part {when}",
            required=False,
            max_length=120,
            help_text="Part number of the seal or designation of the bearing, as the "
            "Life page lists it.",
        )
        found[f"{side}_plan"] = forms.CharField(
            label=f"Piping plan {when}",
            required=False,
            max_length=120,
            help_text="Such as 11; part, plan or both.",
        )
    return found


def _choice(label: str, choices: list[tuple[str, str]], help_text: str) -> forms.Field:
    return forms.ChoiceField(label=label, choices=choices, help_text=help_text)


def _number_choice(
    label: str, numbers: tuple[int, ...], initial: int, help_text: str
) -> forms.Field:
    return forms.TypedChoiceField(
        label=label,
        coerce=int,
        choices=[(number, f"{number} months") for number in numbers],
        initial=initial,
        help_text=help_text,
    )
