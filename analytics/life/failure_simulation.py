"""Failures of parts in service, simulated with renewal and the doubt of the life."""

from dataclasses import dataclass

import numpy as np

from analytics.life.arrays import FloatArray, IntArray
from analytics.life.parameter_draws import Fit, parameter_draws

# Lives drawn at a time, which bounds the memory.
DRAWS = 2_000_000
# Parts that would be renewed more often than this within a horizon are a slip.
MOST_RENEWALS = 10_000


@dataclass(frozen=True, slots=True, eq=False)
class Groups:
    """Which group each part belongs to, of a number that may hold empty ones.

    Parameters
    ----------
    of : ndarray of int, shape (parts,)
        Group of each part, counted from zero.
    size : int
        How many groups there are.
    """

    of: IntArray
    size: int


def failures_simulated(
    ages: FloatArray,
    fit: Fit,
    ahead: FloatArray,
    runs: int,
    seed: int,
    groups: Groups | None = None,
    chance_seed: int | None = None,
) -> IntArray:
    """Simulate how often parts fail, failed ones being replaced by new ones.

    Parameters
    ----------
    ages, ahead : ndarray, shape (parts,)
        Age of each part and time ahead of it, unit of the fit.
    fit : WeibullFit or FixedShapeFit
        With at least one failure.
    runs : int
        Columns of the answer.
    seed : int
        The same seed gives the same answer.
    groups : Groups, optional
        All parts in one if left out.
    chance_seed : int, optional
        For what chance does to the parts, while `seed` draws the doubt of the life:
        kinds of parts that share a life share its doubt and not their chance.

    Returns
    -------
    ndarray of int, shape (groups, runs)

    Raises
    ------
    TooFewFailures
        If the fit has no scale.
    """
    generator = np.random.default_rng(seed)
    shapes, scales = parameter_draws(fit, runs, generator)
    if chance_seed is not None:
        generator = np.random.default_rng([chance_seed, seed])
    groups = groups or Groups(np.zeros(ages.size, dtype=np.int64), 1)
    counts = np.zeros((groups.size, runs), dtype=np.int64)
    if ages.size == 0:
        return counts
    chunk = max(1, DRAWS // ages.size)
    for start in range(0, runs, chunk):
        rows = slice(start, start + chunk)
        counts[:, rows] = _failures_of_runs(
            ages, shapes[rows], scales[rows], ahead, groups, generator
        )
    return counts


def _failures_of_runs(
    ages: FloatArray,
    shapes: FloatArray,
    scales: FloatArray,
    ahead: FloatArray,
    groups: Groups,
    generator: np.random.Generator,
) -> IntArray:
    runs, size = shapes.size, groups.size
    run = np.repeat(np.arange(runs), ages.size)
    age, end, cell = np.tile(ages, runs), np.tile(ahead, runs), np.tile(groups.of, runs)
    cell = cell * runs + run
    clock = _remaining_lives(age, shapes[run], scales[run], generator)
    counts = np.zeros(size * runs, dtype=np.int64)
    for _ in range(MOST_RENEWALS):
        inside = clock <= end
        run, cell, clock, end = run[inside], cell[inside], clock[inside], end[inside]
        if run.size == 0:
            break
        counts += np.bincount(cell, minlength=size * runs)
        clock = clock + _new_lives(shapes[run], scales[run], generator)
    return counts.reshape(size, runs)


def _new_lives(
    shapes: FloatArray, scales: FloatArray, generator: np.random.Generator
) -> FloatArray:
    return _lives(generator.exponential(size=shapes.size), shapes, scales)


def _lives(relative: FloatArray, shapes: FloatArray, scales: FloatArray) -> FloatArray:
    """Turn cumulative hazards into ages."""
    with np.errstate(over="ignore"):
        return np.asarray(scales * relative ** (1.0 / shapes), dtype=np.float64)


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
    relative = generator.exponential(size=ages.size)
    spare = generator.exponential(size=int(used.sum()))
    with np.errstate(over="ignore", divide="ignore"):
        reached = (ages[used] / scales[used]) ** shapes[used]
        growth = np.expm1(np.log1p(spare / reached) / shapes[used])
    # Next to no hazard reached: as good as new.
    fresh = ~used
    fresh[used] = ~np.isfinite(growth)
    lives = np.empty(ages.size)
    lives[used] = ages[used] * growth
    lives[fresh] = _lives(relative[fresh], shapes[fresh], scales[fresh])
    return lives
