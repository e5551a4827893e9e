"""A rate of events as an uncertain quantity."""

from dataclasses import dataclass
from typing import Self

import numpy as np
from numpy.typing import ArrayLike
from scipy import special

from analytics.life.arrays import FloatArray
from analytics.money.errors import InvalidFigure
from analytics.money.figures import Amount, above_zero, known
from analytics.money.quantities import shares_of


@dataclass(frozen=True, slots=True)
class Gamma:
    """A rate of events as a count leaves it uncertain.

    Parameters
    ----------
    shape, rate : float
        Of the gamma distribution, above zero; events and exposure behind it.
    best : float
        Events per unit of exposure to reckon with.
    """

    shape: float
    rate: float
    best: float

    def __post_init__(self) -> None:
        """Refuse what no count can lead to."""
        above_zero(self.shape, "shape")
        above_zero(self.rate, "exposure")
        if known(self.best, "best value") < 0.0:
            raise InvalidFigure("A rate of events must be zero or more.")

    @classmethod
    def from_events(cls, events: int, exposure: Amount) -> Self:
        """Rate that the events of one record speak for.

        Parameters
        ----------
        events : int
            Zero or more.
        exposure : float
            Above zero, such as pump-years.

        Raises
        ------
        InvalidFigure
            If a number is out of range.

        Notes
        -----
        Half an event is added to the shape (the prior of Jeffreys), so that
        no events do not mean no rate; the best value stays events over
        exposure.
        """
        if known(events, "number of events") < 0 or events != int(events):
            raise InvalidFigure("The number of events must be whole, zero or more.")
        time = above_zero(exposure, "exposure")
        return cls(events + 0.5, time, events / time)

    @classmethod
    def from_pool(
        cls, alpha: float, beta: float, events: float, exposure: Amount
    ) -> Self:
        """Rate of one unit drawn towards its pool of like units.

        Parameters
        ----------
        alpha, beta : float
            Of `GammaPoissonPool`.
        events, exposure : float
            Of the unit.

        Raises
        ------
        InvalidFigure
            If a number is out of range.
        """
        size = alpha + known(events, "number of events")
        time = beta + known(exposure, "exposure")
        return cls(above_zero(size, "events"), above_zero(time, "time"), size / time)

    @property
    def mean(self) -> float:
        """Events over exposure, as the gamma has them."""
        return self.shape / self.rate

    @property
    def uncertain(self) -> bool:
        """Always."""
        return True

    def quantile(self, share: ArrayLike) -> FloatArray:
        """Value that is not exceeded with each probability."""
        return np.asarray(
            special.gammaincinv(self.shape, shares_of(share)) / self.rate,
            dtype=np.float64,
        )
