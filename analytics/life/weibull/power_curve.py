"""Summed powers of one population along the shape, from few passes over its lives."""

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.polynomial import chebyshev

from analytics.life.arrays import BoolArray, FloatArray
from analytics.life.weibull.likelihood import LifeSums

NODES = 32
# Half the width of the curve as a share of the shape in its middle.
REACH = 0.5


@dataclass(frozen=True, slots=True, eq=False)
class PowerCurve:
    """S(k) of one population as a polynomial around its fitted shape.

    Stands in for the sums wherever many shapes of one sample are asked for: a
    passage over the lives for each of 32 shapes, none from then on.

    Parameters
    ----------
    exact : LifeSums
        Sums of one population; asked where a shape lies beyond the curve.
    middle : float
        Shape about which the curve is laid, above zero.
    coefficients : ndarray, shape (32, 3)
        Chebyshev coefficients of S(k) and of its first two derivatives, over
        the shape counted from the middle in half widths.

    Notes
    -----
    S(k) is a sum of terms w exp(k r) with w of 1 or -1 and r not above zero,
    so that it has no pole anywhere. A polynomial in n points over k within
    (1 +- q) m misses a term by at most
    2 exp(m r) (q m |r| / 2)^n / n! * exp((q m r)^2 / (4 n)), whatever r is.
    With n = 32 and q = 1/2 that is below 1e-18 of the number of lives: the
    curve is as exact as the sums themselves, which are rounded to 1e-16.

    References
    ----------
    .. [1] Trefethen, L. N., Approximation Theory and Approximation Practice,
       2013, chapters 4 and 8 (coefficients of entire functions); from memory.
    """

    exact: LifeSums
    middle: float
    coefficients: FloatArray

    @property
    def failures(self) -> FloatArray:
        """Number of failures, shape (1,)."""
        return self.exact.failures

    @property
    def failed_log_sum(self) -> FloatArray:
        """Sum of the log relative ages at failure, shape (1,)."""
        return self.exact.failed_log_sum

    def powers(self, shape: FloatArray) -> FloatArray:
        """Return S(k) at each of these shapes."""
        place = self._place(shape)
        total: FloatArray = _polynomials(place) @ self.coefficients[:, 0]
        for beyond in np.flatnonzero(np.abs(place) > 1.0):
            total[beyond] = self.exact.powers(shape[[beyond]])[0]
        return total

    def powers_with_slopes(
        self, shape: FloatArray
    ) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Return log S(k) and its first two derivatives at each shape."""
        place, width = self._place(shape), REACH * self.middle
        total, first, bend = (_polynomials(place) @ self.coefficients).T
        first = first / (width * total)
        bend = bend / (width * width * total) - first * first
        found = [np.log(total), first, bend]
        for row in np.flatnonzero(np.abs(place) > 1.0):
            exact = self.exact.powers_with_slopes(shape[[row]])
            for column, value in zip(found, exact, strict=True):
                column[row] = value[0]
        return found[0], found[1], found[2]

    def profile_of(self, shape: FloatArray, log_power: FloatArray) -> FloatArray:
        """Return the profile likelihood from a known log S(k)."""
        return self.exact.profile_of(shape, log_power)

    def chosen(self, mask: BoolArray) -> "PowerCurve":
        """Return itself: all shapes asked for belong to one population."""
        return self

    def _place(self, shape: FloatArray) -> FloatArray:
        return np.asarray((shape - self.middle) / (REACH * self.middle))


def power_curve(sums: LifeSums, shape: float) -> PowerCurve:
    """Lay the curve of one population about a shape.

    Parameters
    ----------
    sums : LifeSums
        One population.
    shape : float
        Its fitted shape, above zero.
    """
    places, to_coefficients = _nodes()
    shapes = shape * (1.0 + REACH * places)
    at_nodes = np.array([sums.powers(one)[0] for one in shapes[:, None]])
    coefficients = to_coefficients @ at_nodes
    slopes = [chebyshev.chebder(coefficients, order) for order in (1, 2)]
    padded = [np.pad(slope, (0, NODES - slope.size)) for slope in slopes]
    return PowerCurve(sums, shape, np.stack([coefficients, *padded], axis=1))


def _polynomials(place: FloatArray) -> FloatArray:
    """Chebyshev polynomials at places on -1..1; at the near end for one beyond."""
    angle = np.arccos(np.clip(place, -1.0, 1.0))
    return np.asarray(np.cos(angle[:, None] * np.arange(NODES)), dtype=np.float64)


@cache
def _nodes() -> tuple[FloatArray, FloatArray]:
    """Chebyshev points on -1..1 and the matrix from values to coefficients."""
    points = chebyshev.chebpts1(NODES)
    to_values = chebyshev.chebvander(points, NODES - 1)
    return points, np.asarray(np.linalg.inv(to_values), dtype=np.float64)
