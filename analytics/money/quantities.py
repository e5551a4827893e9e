"""Uncertain quantities: a best value and the spread of what it may turn out to be.

Each gives its quantiles, so one draw of chance serves every kind, and a tornado
takes its limits from the same place as the simulation.
"""

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import ArrayLike
from scipy import special

from analytics.life.arrays import FloatArray
from analytics.life.results import Interval
from analytics.money.errors import InvalidFigure
from analytics.money.figures import Amount, above_zero, checked_share, known


class Quantity(Protocol):
    """What every kind of uncertain quantity can tell."""

    @property
    def best(self) -> float:
        """Value to reckon with when only one is wanted."""

    @property
    def mean(self) -> float:
        """Mean of what it may turn out to be."""

    @property
    def uncertain(self) -> bool:
        """Whether it can differ from its best value."""

    def quantile(self, share: ArrayLike) -> FloatArray:
        """Value that is not exceeded with each probability."""


def quantity_interval(quantity: Quantity, confidence: float = 0.90) -> Interval:
    """Equal-tailed limits of a quantity.

    Parameters
    ----------
    quantity : Quantity
        Any kind.
    confidence : float, default 0.90
        Between 0 and 1, exclusive.

    Returns
    -------
    Interval

    Raises
    ------
    InvalidFigure
        If the confidence lies outside its range.
    """
    half = 0.5 * (1.0 - checked_share(confidence))
    low, high = quantity.quantile([half, 1.0 - half])
    return Interval(float(low), float(high), confidence, "as assumed")


def draws(quantity: Quantity, runs: int, generator: np.random.Generator) -> FloatArray:
    """Random values of a quantity, one for each run."""
    # Chance is taken even from a fixed quantity, so that making one input
    # certain leaves the draws of the others as they were.
    chance = generator.random(runs)
    # Zero is drawn once in 10 ** 16 times and would make an infinite value.
    return quantity.quantile(np.maximum(chance, 1e-12))


@dataclass(frozen=True, slots=True)
class Fixed:
    """A number taken as certain."""

    value: Amount

    def __post_init__(self) -> None:
        """Refuse what is no number."""
        known(self.value, "value")

    @property
    def best(self) -> float:
        """The value itself."""
        return float(self.value)

    @property
    def mean(self) -> float:
        """The value itself."""
        return self.best

    @property
    def uncertain(self) -> bool:
        """Never."""
        return False

    def quantile(self, share: ArrayLike) -> FloatArray:
        """Return the value, whatever the probability."""
        return np.full(shares_of(share).shape, self.best)


@dataclass(frozen=True, slots=True)
class Triangular:
    """A judgement: lowest, most likely and highest value.

    Parameters
    ----------
    low, most_likely, high : float or Decimal
        In ascending order; nothing lies outside the first and the last.
    """

    low: Amount
    most_likely: Amount
    high: Amount

    def __post_init__(self) -> None:
        """Refuse values that are not in ascending order."""
        low, mode, high = (
            known(value, "low, best or high value")
            for value in (self.low, self.most_likely, self.high)
        )
        if not low <= mode <= high:
            raise InvalidFigure("The best value must lie between low and high.")

    @property
    def best(self) -> float:
        """The most likely value."""
        return float(self.most_likely)

    @property
    def mean(self) -> float:
        """A third of the sum of the three."""
        return (float(self.low) + self.best + float(self.high)) / 3.0

    @property
    def uncertain(self) -> bool:
        """Whether low and high differ."""
        return self.low != self.high

    def quantile(self, share: ArrayLike) -> FloatArray:
        """Value that is not exceeded with each probability."""
        shares = shares_of(share)
        low, high = float(self.low), float(self.high)
        width = high - low
        if width == 0.0:
            return np.full(shares.shape, low)
        left = (self.best - low) / width
        rise = low + width * np.sqrt(shares * left)
        fall = high - width * np.sqrt((1.0 - shares) * (1.0 - left))
        return np.where(shares < left, rise, fall)


@dataclass(frozen=True, slots=True)
class LogNormal:
    """An estimate with the interval that came with it, on a log scale.

    Parameters
    ----------
    estimate, low, high : float or Decimal
        Above zero, in ascending order; the estimate is the median.
    confidence : float, default 0.90
        Of the interval.

    Notes
    -----
    The log is normal below the estimate and, with a spread of its own, above
    it, so that estimate and both limits are met exactly.
    """

    estimate: Amount
    low: Amount
    high: Amount
    confidence: float = 0.90

    def __post_init__(self) -> None:
        """Refuse limits that do not hold the estimate."""
        low = above_zero(self.low, "lower limit")
        high = above_zero(self.high, "upper limit")
        if not low <= above_zero(self.estimate, "estimate") <= high:
            raise InvalidFigure("The estimate must lie between its limits.")
        checked_share(self.confidence)

    @property
    def best(self) -> float:
        """The estimate."""
        return float(self.estimate)

    @property
    def mean(self) -> float:
        """Above the estimate as far as the upper limit lies further off."""
        below, above = self._spreads
        low = np.exp(0.5 * below**2) * special.ndtr(-below)
        high = np.exp(0.5 * above**2) * special.ndtr(above)
        return float(self.best * (low + high))

    @property
    def _spreads(self) -> tuple[float, float]:
        """Standard deviation of the log below and above the estimate."""
        limit = special.ndtri(0.5 * (1.0 + self.confidence))
        below = np.log(self.best / float(self.low)) / limit
        above = np.log(float(self.high) / self.best) / limit
        return float(below), float(above)

    @property
    def uncertain(self) -> bool:
        """Whether the limits differ."""
        return self.low != self.high

    def quantile(self, share: ArrayLike) -> FloatArray:
        """Value that is not exceeded with each probability."""
        distance = special.ndtri(shares_of(share))
        below, above = self._spreads
        spread = np.where(distance < 0.0, below, above)
        return np.asarray(self.best * np.exp(distance * spread), dtype=np.float64)


def shares_of(share: ArrayLike) -> FloatArray:
    """Return probabilities, each between 0 and 1, exclusive."""
    shares = np.asarray(share, dtype=np.float64)
    if not ((shares > 0.0) & (shares < 1.0)).all():
        raise InvalidFigure("A probability must lie between 0 and 1.")
    return shares
