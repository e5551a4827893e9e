"""Result types shared by several statistics; the others stand with their own."""

from dataclasses import dataclass
from numbers import Real


@dataclass(frozen=True, slots=True)
class Interval:
    """A confidence interval; an open end is zero or infinity.

    Parameters
    ----------
    low, high : float
        Limits in the unit of the estimate.
    confidence : float
        Chance that the method covers the truth, between 0 and 1.
    method : str
        Short name of the method, for the line under the figure.
    """

    low: float
    high: float
    confidence: float
    method: str

    def __contains__(self, value: object) -> bool:
        """Tell whether a number lies between the limits, ends included."""
        return isinstance(value, Real) and self.low <= float(value) <= self.high


@dataclass(frozen=True, slots=True)
class Estimate:
    """A number with its interval."""

    value: float
    interval: Interval
