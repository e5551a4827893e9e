"""The kinds of figure and choice that are typed into an upgrade case."""

from dataclasses import dataclass
from decimal import Decimal

from django.db.models import TextChoices

from analytics.money.errors import InvalidFigure
from analytics.money.quantities import Fixed, Quantity, Triangular
from records.choices import Item


class WhatFails(TextChoices):
    """Which failures of the positions the case counts."""

    ALL = "all", "All failures of the position"
    SEALS = "seal", "Seal failures"
    BEARINGS = "bearing", "Bearing failures"

    @property
    def items(self) -> tuple[str, ...]:
        """Items of a repair that count; empty: every item."""
        if self is WhatFails.SEALS:
            return (Item.SEAL.value,)
        if self is WhatFails.BEARINGS:
            return (Item.RADIAL_BEARING.value, Item.THRUST_BEARING.value)
        return ()


class RatioFrom(TextChoices):
    """Where the failures after the change are known from."""

    LIVES = "lives", "Lives of two kinds of part"
    FLEET = "fleet", "Measured where the fleet has the change"
    TYPED = "typed", "Typed by hand: rests on no record"


@dataclass(frozen=True, slots=True)
class Range:
    """A typed figure: most often only the likely value, else least and most too.

    Raises
    ------
    InvalidFigure
        If only one end is given, or the three are not in ascending order.
    """

    likely: Decimal = Decimal(0)
    least: Decimal | None = None
    most: Decimal | None = None

    def __post_init__(self) -> None:
        """Refuse what is no range."""
        if (self.least is None) != (self.most is None):
            raise InvalidFigure("Give both the least and the most, or neither.")
        if self.least is not None and self.most is not None:
            # The triangle checks that they ascend.
            Triangular(self.least, self.likely, self.most)

    @property
    def quantity(self) -> Quantity:
        """The figure as the sums take it."""
        if self.least is None or self.most is None:
            return Fixed(self.likely)
        return Triangular(self.least, self.likely, self.most)

    @property
    def lowest(self) -> Decimal:
        return self.likely if self.least is None else self.least

    @property
    def highest(self) -> Decimal:
        return self.likely if self.most is None else self.most

    @property
    def is_zero(self) -> bool:
        return self.lowest == self.highest == 0


@dataclass(frozen=True, slots=True)
class Population:
    """A kind of part as the Life page chooses it; empty words do not narrow it."""

    component: str = "seal"
    part: str = ""
    plan: str = ""

    @property
    def is_named(self) -> bool:
        return bool(self.part or self.plan)

    @property
    def in_words(self) -> str:
        plan = f"plan {self.plan}" if self.plan else ""
        return ", ".join(word for word in (self.part, plan) if word) or "not named"
