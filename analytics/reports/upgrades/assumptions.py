"""What a person types into an upgrade case, to and from the stored record."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, fields, replace
from decimal import Decimal
from typing import Any

from django.db.models import TextChoices

from analytics.money.discounting import Timing
from analytics.money.errors import InvalidFigure
from analytics.reports.life.question import COMPONENT_NAMES
from analytics.reports.upgrades.reading import (
    choice_read,
    number_or_none_read,
    number_read,
    population_read,
    range_or_none_read,
    range_read,
    timing_read,
    whole_read,
)
from analytics.reports.upgrades.typed import Population, Range, RatioFrom, WhatFails

__all__ = [
    "Assumptions",
    "InvalidAssumptions",
    "Population",
    "Range",
    "RatioFrom",
    "WhatFails",
]

DEFAULT_RATE = Decimal("0.08")
PAYBACK_MONTHS = (12, 24, 36, 60)
LONGEST_HORIZON = 40
LONGEST_LEAD_MONTHS = 120
WINDOWS = (12, 24, 36, 60)
MOST_MONEY = Decimal(10) ** 12
COMPONENT_WORDS = tuple(COMPONENT_NAMES)
OVERRIDES = ("repair_cost", "lost_production", "environment")
NEVER_BELOW_ZERO = ("purchase", "installation", "lead_months", *OVERRIDES)
CHANGES = ("energy_change", "water_change", "barrier_fluid_change")
RANGES = (*NEVER_BELOW_ZERO, *CHANGES)
AMOUNTS = ("running_energy", "running_operation", "running_planned", "disposal")


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumptions:
    """All that is typed; money in the currency of the case, prices of today.

    Parameters
    ----------
    purchase, installation : Range
        All positions together.
    lead_months : Range
        From today until the change works.
    energy_change, water_change, barrier_fluid_change : Range
        Money a year that the change adds, all positions together; negative: saves.
    horizon_years : int
    discount_rate : Decimal or None
        Real rate a year as a share; None takes the site's, else 0.08.
    timing : {"end_of_year", "mid_year"}
    running_energy, running_operation, running_planned, disposal : Decimal
        What the change leaves as it is, for the life-cycle cost.
    repair_cost, lost_production, environment : Range or None
        Money a failure; None takes it from the ledger.
    what_fails : WhatFails
    window_months : int
        Months up to the case's day from which rate and money are measured.
    ratio_from : RatioFrom
    old, new : Population
        Both for "lives". For "fleet": positions that went from the one to the other;
        with nothing named in `new`, those of done actions of the same change.
    typed_ratio : Range or None
        Failures after over failures before. Needed for "typed"; beside another
        source it is only a labelled comparison.
    payback_months : int
        Of the sentence at the head.
    """

    purchase: Range = Range()
    installation: Range = Range()
    lead_months: Range = Range()
    energy_change: Range = Range()
    water_change: Range = Range()
    barrier_fluid_change: Range = Range()
    horizon_years: int = 10
    discount_rate: Decimal | None = None
    timing: Timing = "end_of_year"
    running_energy: Decimal = Decimal(0)
    running_operation: Decimal = Decimal(0)
    running_planned: Decimal = Decimal(0)
    disposal: Decimal = Decimal(0)
    repair_cost: Range | None = None
    lost_production: Range | None = None
    environment: Range | None = None
    what_fails: WhatFails = WhatFails.ALL
    window_months: int = 36
    ratio_from: RatioFrom = RatioFrom.FLEET
    old: Population = field(default_factory=Population)
    new: Population = field(default_factory=Population)
    typed_ratio: Range | None = None
    payback_months: int = 24

    def refusals(self) -> dict[str, str]:
        """A sentence for each field that cannot be; empty if all can."""
        found: dict[str, str] = {}
        for name in NEVER_BELOW_ZERO:
            figure: Range | None = getattr(self, name)
            if figure is not None and figure.lowest < 0:
                found[name] = "This cannot be below zero."
        for name in AMOUNTS:
            if getattr(self, name) < 0 and name != "disposal":
                found[name] = "This cannot be below zero."
        for name in RANGES:
            figure = getattr(self, name)
            if figure and max(abs(figure.lowest), abs(figure.highest)) > MOST_MONEY:
                found[name] = "This is more than any pump costs."
        return found | self._refused_settings() | self._refused_ratio()

    def _refused_settings(self) -> dict[str, str]:
        checks = {
            "horizon_years": (
                1 <= self.horizon_years <= LONGEST_HORIZON,
                f"Choose 1 to {LONGEST_HORIZON} years.",
            ),
            "discount_rate": (
                self.discount_rate is None or 0 <= self.discount_rate < 1,
                "Give it as a share of one: 0.08 for 8 % a year.",
            ),
            "window_months": (
                self.window_months in WINDOWS,
                f"Choose one of {_listed(WINDOWS)} months.",
            ),
            "payback_months": (
                self.payback_months in PAYBACK_MONTHS,
                f"Choose one of {_listed(PAYBACK_MONTHS)} months.",
            ),
            "lead_months": (
                self.lead_months.highest
                <= min(LONGEST_LEAD_MONTHS, 12 * self.horizon_years),
                "The change would come after the end of the years looked at.",
            ),
        }
        found = {name: words for name, (holds, words) in checks.items() if not holds}
        if "horizon_years" not in found and (
            self.payback_months > 12 * self.horizon_years
        ):
            found["payback_months"] = "The case ends before these months are over."
        return found

    def _refused_ratio(self) -> dict[str, str]:
        found = {}
        if self.ratio_from == RatioFrom.TYPED and self.typed_ratio is None:
            found["typed_ratio"] = "Type the share of failures that stays, or choose "
            found["typed_ratio"] += "a source from the records."
        if self.typed_ratio is not None and not (
            self.typed_ratio.lowest > 0 and self.typed_ratio.highest <= 10
        ):
            found["typed_ratio"] = (
                "Give failures after over failures before: 0.5 halves them, 1 changes "
                "nothing; above 0, at most 10."
            )
        if self.ratio_from == RatioFrom.LIVES:
            for name in ("old", "new"):
                if not getattr(self, name).is_named:
                    found[name] = "Name a part, a piping plan or both."
            if not found and self.old == self.new:
                found["new"] = "The two kinds of part are the same."
        return found

    def to_json(self) -> dict[str, Any]:
        """Plain data for the JSON field of a case."""
        return {one.name: _plain(getattr(self, one.name)) for one in fields(self)}

    @classmethod
    def from_json(cls, stored: Mapping[str, Any]) -> "Assumptions":
        """Take stored or sent data back; what is left out keeps its default.

        Names that are no field, such as "last_figures", are passed over.

        Raises
        ------
        InvalidAssumptions
            With a sentence by field for all that cannot be.
        """
        values, found = {}, {}
        for name, read in READERS.items():
            if name not in stored:
                continue
            try:
                values[name] = read(stored[name])
            except InvalidFigure as refusal:
                found[name] = str(refusal)
        made = replace(cls(), **values)
        found = made.refusals() | found
        if found:
            raise InvalidAssumptions(found)
        return made


class InvalidAssumptions(InvalidFigure):
    """Assumptions that cannot be; `fields` has a sentence for each of them."""

    def __init__(self, found: Mapping[str, str]) -> None:
        self.fields = dict(found)
        super().__init__(" ".join(f"{n}: {words}" for n, words in found.items()))


def _listed(numbers: tuple[int, ...]) -> str:
    return ", ".join(str(number) for number in numbers)


def _plain(value: Any) -> Any:
    if isinstance(value, Range | Population):
        return {one.name: _plain(getattr(value, one.name)) for one in fields(value)}
    return str(value) if isinstance(value, Decimal | TextChoices) else value


READERS: dict[str, Callable[[Any], Any]] = {
    **dict.fromkeys(("purchase", "installation", "lead_months", *CHANGES), range_read),
    **dict.fromkeys((*OVERRIDES, "typed_ratio"), range_or_none_read),
    **dict.fromkeys(AMOUNTS, number_read),
    **dict.fromkeys(("horizon_years", "window_months", "payback_months"), whole_read),
    "discount_rate": number_or_none_read,
    "timing": timing_read,
    "what_fails": choice_read(WhatFails),
    "ratio_from": choice_read(RatioFrom),
    "old": population_read,
    "new": population_read,
}
