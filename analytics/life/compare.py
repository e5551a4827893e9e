"""Two rates compared, and many p-values judged together."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy import special

from analytics.life.arrays import (
    BoolArray,
    FloatArray,
    as_numbers,
    checked_confidence,
    event_count,
    positive_number,
)
from analytics.life.compare_lives import WeibullComparison, weibull_likelihood_ratio
from analytics.life.errors import InvalidSample
from analytics.life.results import Interval

__all__ = [
    "FalseDiscoveries",
    "RateRatio",
    "WeibullComparison",
    "benjamini_hochberg",
    "rate_ratio",
    "weibull_likelihood_ratio",
]


@dataclass(frozen=True, slots=True)
class RateRatio:
    """First rate over second.

    Parameters
    ----------
    ratio : float or None
        Infinite if only the second saw no event, None if neither did.
    interval : Interval
        Exact conditional limits.
    p_value : float
        Two-sided, summed over all outcomes no likelier than the one seen.
    p_value_doubled : float
        Two-sided, twice the smaller tail.
    """

    ratio: float | None
    interval: Interval
    p_value: float
    p_value_doubled: float


@dataclass(frozen=True, slots=True, eq=False)
class FalseDiscoveries:
    """P-values adjusted for their number, in the order given.

    Parameters
    ----------
    adjusted : ndarray
        Least level of false discoveries at which each is rejected.
    rejected : ndarray of bool
        Those rejected at `level`.
    level : float
        As given.
    """

    adjusted: FloatArray
    rejected: BoolArray
    level: float


def rate_ratio(
    events_a: int,
    exposure_a: float,
    events_b: int,
    exposure_b: float,
    confidence: float = 0.90,
) -> RateRatio:
    """Compare two event rates exactly.

    Parameters
    ----------
    events_a, events_b : int
        Events, zero or more.
    exposure_a, exposure_b : float
        Time watched, above zero, one unit for both.
    confidence : float, default 0.90
        Two-sided, between 0 and 1, exclusive.

    Returns
    -------
    RateRatio

    Raises
    ------
    InvalidSample
        If a number is out of range.

    Notes
    -----
    Given all events together, the first count is binomial; the exact limits
    of its share turn into limits of the ratio.

    References
    ----------
    .. [1] Przyborowski, J. and Wilenski, H., Biometrika 31 (1940) 313-323;
       from memory.
    .. [2] Clopper, C. J. and Pearson, E. S., Biometrika 26 (1934) 404-413;
       from memory.
    """
    first = event_count(events_a, "first number of events")
    second = event_count(events_b, "second number of events")
    time_a = positive_number(exposure_a, "first exposure")
    time_b = positive_number(exposure_b, "second exposure")
    confidence = checked_confidence(confidence)
    half = 0.5 * (1.0 - confidence)
    odds = time_b / time_a
    low = high = None
    if first:
        low = float(special.betaincinv(first, second + 1.0, half))
    if second:
        high = float(special.betaincinv(first + 1.0, second, 1.0 - half))
    interval = Interval(
        0.0 if low is None else odds * low / (1.0 - low),
        np.inf if high is None else odds * high / (1.0 - high),
        confidence,
        "exact conditional",
    )
    ratio = None if first + second == 0 else np.inf
    if second:
        ratio = first / second * odds
    null_share = time_a / (time_a + time_b)
    return RateRatio(ratio, interval, *_p_values(first, first + second, null_share))


def benjamini_hochberg(p_values: ArrayLike, level: float = 0.05) -> FalseDiscoveries:
    """Hold the share of false discoveries among many tests at a level.

    Parameters
    ----------
    p_values : array_like of float, shape (n,)
        Each between 0 and 1.
    level : float, default 0.05
        Between 0 and 1, exclusive.

    Returns
    -------
    FalseDiscoveries

    Raises
    ------
    InvalidSample
        If a number is out of range.

    Notes
    -----
    Sorted upwards, the i-th of n is adjusted to the least of p(j) n / j over
    j >= i.

    References
    ----------
    .. [1] Benjamini, Y. and Hochberg, Y., Journal of the Royal Statistical
       Society B 57 (1995) 289-300.
    """
    given = as_numbers(p_values, "p-values")
    if given.size and (given.min() < 0.0 or given.max() > 1.0):
        raise InvalidSample("Every p-value must lie between 0 and 1.")
    level = checked_confidence(level)
    order = np.argsort(given, kind="stable")
    scaled = given[order] * given.size / np.arange(1.0, given.size + 1.0)
    adjusted = np.empty(given.size)
    adjusted[order] = np.minimum(np.minimum.accumulate(scaled[::-1])[::-1], 1.0)
    return FalseDiscoveries(adjusted, adjusted <= level, level)


def _p_values(first: int, total: int, share: float) -> tuple[float, float]:
    """Two-sided binomial p-values by least likelihood and by doubling."""
    if total == 0:
        return 1.0, 1.0
    outcomes = np.arange(total + 1.0)
    log_chance = (
        special.gammaln(total + 1.0)
        - special.gammaln(outcomes + 1.0)
        - special.gammaln(total - outcomes + 1.0)
        + outcomes * np.log(share)
        + (total - outcomes) * np.log1p(-share)
    )
    # Outcomes as likely as the one seen must not be lost to rounding.
    unlikely = log_chance <= log_chance[first] + 1e-7
    least = float(np.exp(log_chance[unlikely]).sum())
    below = float(special.bdtr(first, total, share))
    above = float(special.bdtrc(first - 1, total, share)) if first else 1.0
    return min(least, 1.0), min(1.0, 2.0 * min(below, above))
