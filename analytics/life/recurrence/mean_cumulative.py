"""Mean number of events per unit by age, without assuming any process."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from scipy import special

from analytics.life.arrays import FloatArray, IntArray, checked_confidence
from analytics.life.errors import TooFewFailures
from analytics.life.recurrence.histories import History, HistoryLike, as_histories

# Below this many units simulated coverage of the 90 % limits falls under 87 % when
# units differ much and are watched over different ages.
FEWEST_UNITS = 40


@dataclass(frozen=True, slots=True, eq=False)
class MeanCumulativeFunction:
    """Mean events per unit just after each distinct event age.

    Parameters
    ----------
    time : ndarray
        Distinct ages at events, ascending.
    at_risk, events : ndarray of int
        Units watched at, and events seen at, each age.
    mean, variance : ndarray
        Estimate with its variance, robust to events that come in clusters
        within a unit.
    lower, upper : ndarray
        Pointwise limits, above zero.
    units : int
        Number of units.
    confidence : float
        Two-sided confidence of the limits.
    warnings : tuple of str
        Doubts, in sentences.
    """

    time: FloatArray
    at_risk: IntArray
    events: IntArray
    mean: FloatArray
    variance: FloatArray
    lower: FloatArray
    upper: FloatArray
    units: int
    confidence: float
    warnings: tuple[str, ...]

    def at(self, age: float) -> float:
        """Return the mean number of events up to an age."""
        place = int(np.searchsorted(self.time, age, side="right"))
        return float(self.mean[place - 1]) if place else 0.0


def mean_cumulative_function(
    histories: Iterable[HistoryLike], confidence: float = 0.90
) -> MeanCumulativeFunction:
    """Estimate the mean number of events per unit by age.

    Parameters
    ----------
    histories : iterable of History, (events, end) or (events, end, start)
        One for each unit, also for units without events.
    confidence : float, default 0.90
        Two-sided, between 0 and 1, exclusive.

    Returns
    -------
    MeanCumulativeFunction

    Raises
    ------
    InvalidSample
        If there is no unit, an event lies outside the time watched, or the
        confidence is out of range.
    TooFewFailures
        If no unit has an event.

    Notes
    -----
    Each age adds events / units watched; all events of one age make one step.
    A unit watched until an age is still watched at it. The variance is the
    sum over units of the squared sum of (own events - share) / units watched.
    Limits come from the log transform.

    References
    ----------
    .. [1] Lawless, J. F. and Nadeau, C., Technometrics 37 (1995) 158-168.
    .. [2] Nelson, W., Technometrics 37 (1995) 147-157.
    """
    confidence = checked_confidence(confidence)
    units = as_histories(histories)
    ages = np.concatenate([unit.events for unit in units])
    if ages.size == 0:
        raise TooFewFailures("No unit has an event, so there is no curve.")
    time, place, events = np.unique(ages, return_inverse=True, return_counts=True)
    ends = np.array([unit.end for unit in units])
    starts = np.array([unit.start for unit in units])
    at_risk = np.searchsorted(np.sort(starts), time, "left") - np.searchsorted(
        np.sort(ends), time, "left"
    )
    mean = np.cumsum(events / at_risk)
    variance = _robust_variance(units, time, place.ravel(), at_risk, events)
    normal = float(special.ndtri(0.5 + 0.5 * confidence))
    factor = np.exp(normal * np.sqrt(variance) / mean)
    return MeanCumulativeFunction(
        time=time,
        at_risk=at_risk.astype(np.int64),
        events=events.astype(np.int64),
        mean=mean,
        variance=variance,
        lower=mean / factor,
        upper=mean * factor,
        units=len(units),
        confidence=confidence,
        warnings=_few_units(len(units)),
    )


def _few_units(units: int) -> tuple[str, ...]:
    if units >= FEWEST_UNITS:
        return ()
    return (
        f"With {units} units the limits are a little too narrow: they cover less "
        "often than stated.",
    )


def _robust_variance(
    units: list[History],
    time: FloatArray,
    place: IntArray,
    at_risk: IntArray,
    events: IntArray,
) -> FloatArray:
    """Sum over units of the squared residual, swept once through time.

    While a unit is watched its residual is a - C, with C the common sum of
    events / at risk squared and `a` moving at its own events only; once it is
    watched no longer the residual stands still.
    """
    common = np.cumsum(events / at_risk.astype(np.float64) ** 2)
    padded = np.concatenate([[0.0], common])
    first = np.searchsorted(time, [unit.start for unit in units], "right")
    last = np.searchsorted(time, [unit.end for unit in units], "right")
    counts = np.array([unit.events.size for unit in units])
    owner = np.repeat(np.arange(counts.size), counts)
    gains = 1.0 / at_risk[place]
    after = padded[first][owner] + _sums_within(gains, counts)
    final = padded[first].copy()
    np.add.at(final, owner, gains)
    size = time.size + 1
    # Sums over watched units of a and a squared, as steps at each age.
    number = _steps(first, 1.0, size) - _steps(last, 1.0, size)
    linear = _steps(first, padded[first], size) - _steps(last, final, size)
    square = _steps(first, padded[first] ** 2, size) - _steps(last, final**2, size)
    linear += _steps(place, gains, size)
    square += _steps(place, after**2 - (after - gains) ** 2, size)
    still = _steps(last, (final - padded[last]) ** 2, size)
    number, linear, square, still = (
        np.cumsum(steps)[:-1] for steps in (number, linear, square, still)
    )
    moving = square - 2.0 * common * linear + common**2 * number
    return np.maximum(moving, 0.0) + still


def _steps(place: IntArray, value: FloatArray | float, size: int) -> FloatArray:
    weights = np.broadcast_to(np.asarray(value, dtype=np.float64), place.shape)
    return np.asarray(np.bincount(place, weights, size), dtype=np.float64)


def _sums_within(values: FloatArray, counts: IntArray) -> FloatArray:
    """Return running sums that begin anew with each unit."""
    running = np.cumsum(values)
    before = np.concatenate([[0.0], running])[np.cumsum(counts) - counts]
    return np.asarray(running - np.repeat(before, counts), dtype=np.float64)
