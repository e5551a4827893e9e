"""How many failures to expect, and how many spares to hold."""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike
from scipy import special

from analytics.life.arrays import (
    FloatArray,
    IntArray,
    as_numbers,
    checked_confidence,
    checked_share,
    positive_number,
    zero_or_more,
)
from analytics.life.errors import InvalidSample, TooFewFailures
from analytics.life.failure_simulation import (
    DRAWS,
    MOST_RENEWALS,
    Groups,
    failures_simulated,
)
from analytics.life.parameter_draws import Fit, few_cut_failures_warnings
from analytics.life.renewal import renewal_function
from analytics.life.results import Interval

__all__ = [
    "FailureForecast",
    "expected_failures",
    "renewal_function",
    "spares_for_service_level",
]

GRID_STEPS = 400
SEED = 20190731
RUNS = (500, 4000)
LARGEST_DEMAND = 1e12


@dataclass(frozen=True, slots=True, eq=False)
class FailureForecast:
    """Failures within a horizon, failed parts being replaced by new ones.

    Parameters
    ----------
    expected : float
        Mean number of failures of all parts together, at the estimates.
    interval : Interval
        Prediction limits of that number; they hold chance and the doubt
        about shape and scale.
    probability : ndarray
        Chance of each part in service to fail at least once.
    horizon : float
        As given; the longest where parts differ.
    drawn : ndarray of int
        Simulated numbers of failures, ascending.
    warnings : tuple of str
        Doubts, in sentences.
    """

    expected: float
    interval: Interval
    probability: FloatArray
    horizon: float
    drawn: IntArray = field(repr=False)
    warnings: tuple[str, ...] = ()

    def stock(self, level: float) -> int:
        """Smallest stock that covers all failures with the given chance.

        Parameters
        ----------
        level : float
            Between 0 and 1, exclusive.

        Raises
        ------
        InvalidSample
            If the level lies outside its range.
        """
        level = _checked_level(level)
        needed = int(np.ceil(level * self.drawn.size - 1e-9)) - 1
        return int(self.drawn[max(needed, 0)])


def expected_failures(
    ages: ArrayLike, fit: Fit, horizon: ArrayLike, confidence: float = 0.90
) -> FailureForecast:
    """Forecast the failures of parts in service.

    Parameters
    ----------
    ages : array_like of float
        Age of each part in service, zero or more, unit of the fit.
    fit : WeibullFit or FixedShapeFit
        Life of the parts, with at least one failure.
    horizon : float or array_like of float
        Time ahead, above zero, same unit: one for all, or one for each part,
        such as the running hours of parts that do not run equally.
    confidence : float, default 0.90
        Of the prediction limits.

    Returns
    -------
    FailureForecast

    Raises
    ------
    InvalidSample
        If a number is out of range or the horizon is absurdly long.
    TooFewFailures
        If the fit has no scale.

    Notes
    -----
    Each part fails first at its remaining life; from then on new parts renew
    it. The seed is fixed: the same question gives the same answer.
    """
    confidence = checked_confidence(confidence)
    checked, ahead, shape, scale = _checked(ages, fit, horizon)
    runs = int(np.clip(DRAWS // max(checked.size, 1), *RUNS))
    drawn = np.sort(failures_simulated(checked, fit, ahead, runs, SEED)[0])
    half = 0.5 * (1.0 - confidence)
    low, high = np.quantile(drawn, [half, 1.0 - half], method="inverted_cdf")
    return FailureForecast(
        expected=float(_expected_each(checked, shape, scale, ahead).sum()),
        interval=Interval(float(low), float(high), confidence, "simulated prediction"),
        probability=_failing(checked, shape, scale, ahead),
        horizon=float(ahead.max(initial=0.0)),
        drawn=drawn,
        warnings=few_cut_failures_warnings(fit),
    )


@dataclass(frozen=True, slots=True, eq=False)
class GroupForecast:
    """Failures of the parts of several groups that share one life.

    Parameters
    ----------
    expected : ndarray, shape (groups,)
        Mean number of failures, at the estimates.
    drawn : ndarray of int, shape (groups, runs)
        Simulated numbers; a column is one run, with one shape and scale for all.
    warnings : tuple of str
        Doubts, in sentences.
    """

    expected: FloatArray
    drawn: IntArray = field(repr=False)
    warnings: tuple[str, ...] = ()


def expected_failures_by_group(
    ages: ArrayLike,
    fit: Fit,
    horizon: ArrayLike,
    groups: Groups,
    runs: int,
    *,
    doubt_seed: int = SEED,
    chance_seed: int | None = None,
) -> GroupForecast:
    """Forecast the failures of parts in service, group by group.

    Parameters
    ----------
    ages, fit, horizon
        As in `expected_failures`.
    groups : Groups
        Group of each part; a group without one has no failure.
    runs : int
        Simulations; doubt about the life moves all groups of a run together.
    doubt_seed, chance_seed : int
        Forecasts of one life are to share the first and none the second, so that
        they can be added run by run; one seed for both if the second is left out.

    Returns
    -------
    GroupForecast

    Raises
    ------
    InvalidSample
        If a number is out of range, the horizon is absurdly long or the groups are
        not as many as the ages.
    TooFewFailures
        If the fit has no scale.
    """
    checked, ahead, shape, scale = _checked(ages, fit, horizon)
    if groups.of.shape != checked.shape:
        raise InvalidSample("Every part must belong to one group.")
    each = _expected_each(checked, shape, scale, ahead)
    return GroupForecast(
        expected=np.bincount(groups.of, weights=each, minlength=groups.size).astype(
            float
        ),
        drawn=failures_simulated(
            checked, fit, ahead, runs, doubt_seed, groups, chance_seed
        ),
        warnings=few_cut_failures_warnings(fit),
    )


def spares_for_service_level(mean_demand: float, level: float) -> int:
    """Return the smallest stock whose Poisson demand is covered at a level.

    Parameters
    ----------
    mean_demand : float
        Expected demand until the next delivery, zero or more.
    level : float
        Chance that the stock is enough, between 0 and 1, exclusive.

    Returns
    -------
    int

    Raises
    ------
    InvalidSample
        If a number is out of range.
    """
    level = _checked_level(level)
    mean_demand = zero_or_more(mean_demand, "mean demand")
    if mean_demand > LARGEST_DEMAND:
        raise InvalidSample("The mean demand is beyond any store.")
    if mean_demand == 0.0:
        return 0
    stock = max(0, int(np.floor(special.pdtrik(level, mean_demand))) - 1)
    while special.pdtr(stock, mean_demand) < level:
        stock += 1
    return stock


def _checked(
    ages: ArrayLike, fit: Fit, horizon: ArrayLike
) -> tuple[FloatArray, FloatArray, float, float]:
    """Return ages, times ahead, shape and scale, all in range."""
    checked = as_numbers(ages, "ages")
    if checked.size and checked.min() < 0.0:
        raise InvalidSample("Every age must be zero or more.")
    ahead = _checked_ahead(horizon, checked.size)
    if fit.scale is None or fit.mean is None:
        raise TooFewFailures("Without a failure the life has no estimate.")
    if float(ahead.max(initial=0.0)) > MOST_RENEWALS * fit.mean:
        raise InvalidSample("The horizon is too long for this life.")
    return checked, ahead, fit.shape, fit.scale


def _checked_level(level: float) -> float:
    return checked_share(level, "service level")


def _checked_ahead(horizon: ArrayLike, parts: int) -> FloatArray:
    """Return the time ahead of each part."""
    if np.ndim(horizon) == 0:
        return np.full(parts, positive_number(horizon, "horizon"))  # type: ignore[arg-type]
    ahead = as_numbers(horizon, "horizons")
    if ahead.size != parts:
        raise InvalidSample(f"There are {parts} ages but {ahead.size} horizons.")
    if ahead.size and ahead.min() <= 0.0:
        raise InvalidSample("Every horizon must be above zero.")
    return ahead


def _failing(
    ages: FloatArray, shape: float, scale: float, ahead: FloatArray | float
) -> FloatArray:
    """Chance of failing within `ahead` after having reached each age."""
    gained = ((ages + ahead) / scale) ** shape - (ages / scale) ** shape
    return np.asarray(-np.expm1(-gained), dtype=np.float64)


def _expected_each(
    ages: FloatArray, shape: float, scale: float, ahead: FloatArray
) -> FloatArray:
    """First failures, each followed by the renewals in the time that is left."""
    lengths, kind = np.unique(ahead, return_inverse=True)
    grid = np.linspace(0.0, 1.0, GRID_STEPS + 1)
    left = 1.0 - 0.5 * (grid[1:] + grid[:-1])
    weights = 1.0 + renewal_function(shape, scale, np.outer(lengths, left).ravel())
    weights = weights.reshape(lengths.size, GRID_STEPS)
    each = np.zeros(ages.size)
    for part in np.array_split(np.arange(ages.size), max(1, ages.size // 2000)):
        steps = ahead[part, None] * grid
        first = _failing(ages[part, None], shape, scale, steps)
        each[part] = (np.diff(first, axis=1) * weights[kind[part]]).sum(axis=1)
    return each
