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


MOST_EVENTS = 10**12


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
    if first + second > MOST_EVENTS:
        raise InvalidSample("So many events are beyond any log.")
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
    # A p-value just at its limit must not be lost to rounding.
    return FalseDiscoveries(adjusted, adjusted <= level * (1.0 + 1e-12), level)


def _p_values(first: int, total: int, share: float) -> tuple[float, float]:
    """Two-sided binomial p-values by least likelihood and by doubling."""
    if total == 0:
        return 1.0, 1.0
    below, above = _tail_below(first, total, share), _tail_above(first, total, share)
    doubled = min(1.0, 2.0 * min(below, above))
    # Outcomes as likely as the one seen must not be lost to rounding.
    seen = _log_chance(first, total, share) + 1e-7
    mode = min(total, int((total + 1) * share))
    if _log_chance(mode, total, share) <= seen:
        return 1.0, doubled
    if first < mode:
        other = _first_within(seen, total, share, mode, total + 1)
        return min(1.0, below + _tail_above(other, total, share)), doubled
    other = _first_within(seen, total, share, mode, -1)
    return min(1.0, above + _tail_below(other, total, share)), doubled


def _log_chance(outcome: int, total: int, share: float) -> float:
    """Log of the binomial probability of an outcome."""
    ways = -special.betaln(outcome + 1.0, total - outcome + 1.0) - np.log1p(total)
    return float(
        ways + special.xlogy(outcome, share) + special.xlog1py(total - outcome, -share)
    )


def _tail_below(outcome: int, total: int, share: float) -> float:
    """Probability of this many or fewer."""
    if outcome < 0 or outcome >= total:
        return float(outcome >= total)
    return float(special.betaincc(outcome + 1.0, total - outcome, share))


def _tail_above(outcome: int, total: int, share: float) -> float:
    """Probability of this many or more."""
    if outcome <= 0 or outcome > total:
        return float(outcome <= 0)
    return float(special.betainc(outcome, total - outcome + 1.0, share))


def _first_within(
    allowed: float, total: int, share: float, mode: int, beyond: int
) -> int:
    """Return the outcome nearest the mode, on one side, that is no likelier.

    Beyond the mode the probability falls steadily, so halving finds it; if
    there is none, the place beyond the last outcome.
    """
    near, far = mode, beyond
    while abs(far - near) > 1:
        middle = (near + far) // 2
        if _log_chance(middle, total, share) <= allowed:
            far = middle
        else:
            near = middle
    return far
