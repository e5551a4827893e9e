"""What one failure costs on average, as the amounts on record tell it."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp
from statistics import mean, stdev

from analytics.money.quantities import LogNormal, Quantity

LEAST_AMOUNTS = 3
NORMAL_90 = 1.6448536269514722


@dataclass(frozen=True, slots=True)
class MeanCost:
    """Mean money of one failure with its 90 % interval; none of too few amounts.

    Parameters
    ----------
    amounts : int
        How many are on record.
    mean : float or None
        Money per failure.
    spread : float
        Standard deviation of one amount over the mean.
    quantity : Quantity or None
        The mean as far as it is known.
    """

    amounts: int
    mean: float | None = None
    spread: float = 0.0
    quantity: Quantity | None = None


def mean_cost(amounts: Sequence[float]) -> MeanCost:
    """Return the mean of amounts, its 90 % limits on a log scale, and their spread.

    Parameters
    ----------
    amounts : sequence of float
        Money of one failure each.

    Returns
    -------
    MeanCost
        Without a mean below three amounts, or where they add up to nothing.

    Notes
    -----
    The standard error of the log of a mean is the spread over the root of the number.
    """
    if len(amounts) < LEAST_AMOUNTS or mean(amounts) <= 0.0:
        return MeanCost(len(amounts))
    middle = mean(amounts)
    spread = stdev(amounts) / middle
    half = NORMAL_90 * spread / len(amounts) ** 0.5
    quantity = LogNormal(middle, middle * exp(-half), middle * exp(half))
    return MeanCost(len(amounts), middle, spread, quantity)
