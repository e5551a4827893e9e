"""Expected number of renewals of a Weibull life that is replaced at failure."""

import itertools

import numpy as np
from numpy.typing import ArrayLike
from scipy import special

from analytics.life.arrays import FloatArray, as_numbers, positive_number
from analytics.life.errors import InvalidSample
from analytics.life.weibull.functions import weibull_mean

GRID_STEPS = 4000
LEAST_SHAPE, MOST_SHAPE = 0.02, 1e5
# Beyond this many mean lives the straight line of long times serves: a steep
# life stays in step with its start for long, a shape below one has a long tail.
LEAST_LIVES, MOST_LIVES = 10.0, 200.0
SETTLED = 0.64
TAIL_HAZARD = 16.0
# Each stretch of times, in mean lives, has a grid of its own.
STRETCHES = (0.0, 0.25, 1.0, 8.0, 40.0, np.inf)


def renewal_function(shape: float, scale: float, t: ArrayLike) -> FloatArray:
    """Return the expected number of renewals up to each time.

    Parameters
    ----------
    shape, scale : float
        Weibull parameters, above zero.
    t : float or array_like of float
        Times from new, zero or more, in the unit of the scale.

    Returns
    -------
    ndarray
        One value for each time; the first item, new at zero, is not counted.

    Raises
    ------
    InvalidSample
        If a parameter is not above zero, the shape is absurd or a time is
        negative.

    Notes
    -----
    M(t) = F(t) + integral of F(t - x) dM(x), solved on an even grid by the
    Riemann-Stieltjes midpoint rule; after many mean lives M(t) is t / mean +
    (variance / mean ** 2 - 1) / 2.

    References
    ----------
    .. [1] Xie, M., On the solution of renewal-type integral equations,
       Communications in Statistics - Simulation 18 (1989) 281-293; from
       memory.
    """
    shape = positive_number(shape, "shape")
    scale = positive_number(scale, "scale")
    times = as_numbers([t] if np.ndim(t) == 0 else t, "times")
    if times.size and times.min() < 0.0:
        raise InvalidSample("Every time must be zero or more.")
    relative = times / scale
    if not LEAST_SHAPE <= shape <= MOST_SHAPE:
        raise InvalidSample("The shape is too far from that of any life.")
    mean = weibull_mean(shape, 1.0)
    square = float(special.gamma(1.0 + 2.0 / shape)) / mean**2 - 1.0
    settled = max(SETTLED / square, TAIL_HAZARD ** (1.0 / shape) / mean)
    lives = relative / mean
    near = lives <= np.clip(settled, LEAST_LIVES, MOST_LIVES)
    count = lives + 0.5 * (square - 1.0)
    count[lives == 0.0] = 0.0
    for low, high in itertools.pairwise(STRETCHES):
        here = near & (lives > low) & (lives <= high)
        if here.any():
            grid, excess = _excess(shape, float(relative[here].max()))
            later = np.interp(relative[here], grid, excess)
            count[here] = _failed(shape, relative[here]) + later
    return np.asarray(count, dtype=np.float64)


def _excess(shape: float, reach: float) -> tuple[FloatArray, FloatArray]:
    """Return a grid and renewals beyond the first at its points.

    What lies beyond the first renewal is smooth even where the life has an
    infinite density at zero.
    """
    grid = np.linspace(0.0, reach, GRID_STEPS + 1)
    step = grid[1]
    first = _failed(shape, grid)
    middle = _failed(shape, grid[:-1] + 0.5 * step)
    # Renewals to a grid point are the sum of the gains up to it, and by the midpoint
    # rule also first(i) + sum of gain(j) middle(i - j): the gains times the series
    # 1 - middle are the series of the first.
    gains = _product(_inverse(1.0 - middle), first[1:])
    renewals = np.concatenate([[0.0], np.cumsum(gains)])
    return grid, renewals - first


def _failed(shape: float, relative: FloatArray) -> FloatArray:
    return np.asarray(-np.expm1(-(relative**shape)), dtype=np.float64)


def _inverse(series: FloatArray) -> FloatArray:
    """Return the power series whose product with `series` is one.

    Newton's step doubles the number of right terms.
    """
    found = np.array([1.0 / series[0]])
    while found.size < series.size:
        size = min(2 * found.size, series.size)
        grown = np.pad(found, (0, size - found.size))
        rest = -_product(series[:size], grown)
        rest[0] += 2.0
        found = _product(grown, rest)
    return found


def _product(one: FloatArray, other: FloatArray) -> FloatArray:
    """Return as many terms of the product of two power series as each has."""
    size = 2 * one.size
    both = np.fft.rfft(one, size) * np.fft.rfft(other, size)
    return np.asarray(np.fft.irfft(both, size)[: one.size], dtype=np.float64)
