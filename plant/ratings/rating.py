"""What every rating is made of: the number with its origin, and the refusal."""

import math
from enum import StrEnum
from typing import Self, SupportsFloat

# Far outside any pump; inside it no formula here overflows or runs to zero.
SMALLEST, LARGEST = 1e-12, 1e12


class Status(StrEnum):
    """How sure a source is; the words stand beside the number on a page."""

    FOUND = "found in public text"
    MEMORY = "default, from memory"
    PRACTICE = "common practice"
    DERIVED = "worked out from the inputs"


class RatingError(ValueError):
    """A rating was refused; the message is a sentence for the page."""


class Rating(float):
    """A number with its unit, its source and how sure the source is.

    It is a float, so it goes into the next formula and the next column as it is;
    what comes out of arithmetic is a plain float again.
    """

    __slots__ = ("source", "status", "unit")

    unit: str
    source: str
    status: Status

    def __new__(
        cls, value: SupportsFloat, unit: str, source: str, status: Status
    ) -> Self:
        rating = super().__new__(cls, value)
        rating.unit, rating.source, rating.status = unit, source, status
        return rating

    def __getnewargs__(self) -> tuple[float, str, str, Status]:  # type: ignore[override]
        return float(self), self.unit, self.source, self.status

    def __repr__(self) -> str:
        return f"Rating({float(self)!r}, {self.unit!r}, {self.status.value!r})"

    @property
    def value(self) -> float:
        """The bare number."""
        return float(self)


def known(name: str, value: SupportsFloat | None) -> float:
    """The value as a finite number; None and text are refused by name."""
    try:
        number = float(value)  # type: ignore[arg-type]
    except (TypeError, ValueError):
        number = math.nan
    if not math.isfinite(number):
        raise RatingError(f"{name} must be a number, not {value!r}.")
    return number


def above_zero(name: str, value: SupportsFloat | None) -> float:
    """The value as a number that a machine can have."""
    number = known(name, value)
    if number <= 0:
        raise RatingError(f"{name} must be above zero, not {value}.")
    if not SMALLEST <= number <= LARGEST:
        raise RatingError(f"{name} of {value} is beyond any machine; check its unit.")
    return number
