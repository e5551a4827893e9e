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
from analytics.life.parameter_draws import (
    Fit,
    few_cut_failures_warnings,
    parameter_draws,
)
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
DRAWS = 2_000_000
# Parts that would be renewed more often than this within a horizon are a slip.
MOST_RENEWALS = 10_000
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
    checked = as_numbers(ages, "ages")
    if checked.size and checked.min() < 0.0:
        raise InvalidSample("Every age must be zero or more.")
    ahead = _checked_ahead(horizon, checked.size)
    confidence = checked_confidence(confidence)
    if fit.scale is None or fit.mean is None:
        raise TooFewFailures("Without a failure the life has no estimate.")
    longest = float(ahead.max(initial=0.0))
    if longest > MOST_RENEWALS * fit.mean:
        raise InvalidSample("The horizon is too long for this life.")
    drawn = _drawn(checked, fit, ahead)
    half = 0.5 * (1.0 - confidence)
    low, high = np.quantile(drawn, [half, 1.0 - half], method="inverted_cdf")
    return FailureForecast(
        expected=_expected(checked, fit.shape, fit.scale, ahead),
        interval=Interval(float(low), float(high), confidence, "simulated prediction"),
        probability=_failing(checked, fit.shape, fit.scale, ahead),
        horizon=longest,
        drawn=drawn,
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


def _expected(ages: FloatArray, shape: float, scale: float, ahead: FloatArray) -> float:
    """First failures, each followed by the renewals in the time that is left."""
    lengths, kind = np.unique(ahead, return_inverse=True)
    grid = np.linspace(0.0, 1.0, GRID_STEPS + 1)
    left = 1.0 - 0.5 * (grid[1:] + grid[:-1])
    weights = 1.0 + renewal_function(shape, scale, np.outer(lengths, left).ravel())
    weights = weights.reshape(lengths.size, GRID_STEPS)
    total = 0.0
    for part in np.array_split(np.arange(ages.size), max(1, ages.size // 2000)):
        steps = ahead[part, None] * grid
        first = _failing(ages[part, None], shape, scale, steps)
        total += float((np.diff(first, axis=1) * weights[kind[part]]).sum())
    return total


def _drawn(ages: FloatArray, fit: Fit, ahead: FloatArray) -> IntArray:
    """Simulate the number of failures, ascending."""
    generator = np.random.default_rng(SEED)
    runs = int(np.clip(DRAWS // max(ages.size, 1), *RUNS))
    shapes, scales = parameter_draws(fit, runs, generator)
    counts = np.zeros(runs, dtype=np.int64)
    if ages.size == 0:
        return counts
    chunk = max(1, DRAWS // ages.size)
    for start in range(0, runs, chunk):
        rows = slice(start, start + chunk)
        counts[rows] = _failures_of_runs(
            ages, shapes[rows], scales[rows], ahead, generator
        )
    return np.sort(counts)


def _failures_of_runs(
    ages: FloatArray,
    shapes: FloatArray,
    scales: FloatArray,
    ahead: FloatArray,
    generator: np.random.Generator,
) -> IntArray:
    runs = shapes.size
    run = np.repeat(np.arange(runs), ages.size)
    age, end = np.tile(ages, runs), np.tile(ahead, runs)
    clock = _remaining_lives(age, shapes[run], scales[run], generator)
    counts = np.zeros(runs, dtype=np.int64)
    for _ in range(MOST_RENEWALS):
        inside = clock <= end
        run, clock, end = run[inside], clock[inside], end[inside]
        if run.size == 0:
            break
        counts += np.bincount(run, minlength=runs)
        clock = clock + _new_lives(shapes[run], scales[run], generator)
    return counts


def _new_lives(
    shapes: FloatArray, scales: FloatArray, generator: np.random.Generator
) -> FloatArray:
    with np.errstate(over="ignore"):
        relative = generator.exponential(size=shapes.size) ** (1.0 / shapes)
        return np.asarray(scales * relative, dtype=np.float64)


def _remaining_lives(
    ages: FloatArray,
    shapes: FloatArray,
    scales: FloatArray,
    generator: np.random.Generator,
) -> FloatArray:
    """Draw the time to failure of parts that have reached their ages.

    Written as a growth of the age, a part far beyond its life fails at once
    instead of vanishing in rounding or overflow.
    """
    used = ages > 0.0
    lives = _new_lives(shapes, scales, generator)
    spare = generator.exponential(size=int(used.sum()))
    with np.errstate(over="ignore", divide="ignore"):
        reached = (ages[used] / scales[used]) ** shapes[used]
        growth = np.expm1(np.log1p(spare / reached) / shapes[used])
    # Next to no hazard reached: as good as new.
    fresh = ~np.isfinite(growth)
    grown = ages[used] * np.where(fresh, 0.0, growth)
    lives[used] = np.where(fresh, lives[used], grown)
    return lives
