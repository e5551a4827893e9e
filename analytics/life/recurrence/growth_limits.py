"""Exact limits of the present time between events of a power-law process."""

from collections.abc import Callable
from functools import lru_cache

import numpy as np
from scipy import optimize, special

from analytics.life.arrays import FloatArray

QUADRATURE_POINTS = 200
FIT_RUNS = 10_000
# With more events than this the distribution of the distance moves no more.
MOST_POINTS = 400
SEED = 20190731


@lru_cache(maxsize=1024)
def time_ended_factors(events: int, confidence: float) -> tuple[float, float]:
    """Return the factors from estimate to limits when a set time ended it.

    Notes
    -----
    Given the sum w of ln(end / time), the number n of events has
    probabilities in proportion to z ** n / (n! (n - 1)!), where z is w times
    expected events times shape; the estimate has z = n ** 2. The limits put
    half the error in each tail of n.

    References
    ----------
    .. [1] Crow, L. H., Confidence interval procedures for the Weibull process
       with applications to reliability growth, Technometrics 24 (1982) 67-72;
       from memory.
    """
    half = 0.5 * (1.0 - confidence)
    greatest = _root(lambda log_z: _at_most(events, log_z) - half, events)
    least = _root(lambda log_z: _at_most(events - 1, log_z) - (1.0 - half), events)
    return events**2 / float(np.exp(greatest)), events**2 / float(np.exp(least))


@lru_cache(maxsize=1024)
def failure_ended_factors(events: int, confidence: float) -> tuple[float, float]:
    """Return the factors from estimate to limits when an event ended it.

    Notes
    -----
    Estimate over truth is the product of independent gamma variables with
    shapes n and n - 1, over n ** 2.
    """
    half = 0.5 * (1.0 - confidence)
    high = _root(lambda log_z: _product_below(events, log_z) - (1.0 - half), events)
    low = _root(lambda log_z: _product_below(events, log_z) - half, events)
    return events**2 / float(np.exp(high)), events**2 / float(np.exp(low))


def fit_statistics(points: int) -> FloatArray:
    """Return sorted Cramer-von Mises statistics of true power-law events.

    Notes
    -----
    Simulated up to 400 events; for more, 400 stand, as the distribution nears
    its limit like one over the number of events.
    """
    return _simulated_statistics(min(points, MOST_POINTS))


@lru_cache(maxsize=64)
def _simulated_statistics(points: int) -> FloatArray:
    generator = np.random.default_rng(SEED)
    runs = max(2000, min(FIT_RUNS, 2_000_000 // points))
    logs = generator.exponential(size=(runs, points))
    shape = (points - 1.0) / logs.sum(axis=1)
    shares = np.sort(np.exp(-logs * shape[:, None]), axis=1)
    return np.sort(cramer_von_mises(shares))


def cramer_von_mises(shares: FloatArray) -> FloatArray:
    """Return the distance of sorted shares from even spacing, by row."""
    points = shares.shape[-1]
    ideal = (2.0 * np.arange(1, points + 1) - 1.0) / (2.0 * points)
    squares = ((shares - ideal) ** 2).sum(axis=-1)
    return np.asarray(1.0 / (12.0 * points) + squares, dtype=np.float64)


def _at_most(events: int, log_z: float) -> float:
    """Probability of at most this many events, given at least one."""
    # The count gathers around the root of z, with a spread of half its root;
    # what lies twenty-four spreads away weighs nothing.
    middle = float(np.exp(0.5 * log_z))
    reach = 12.0 * np.sqrt(middle) + 60.0
    first, last = max(1.0, np.floor(middle - reach)), np.ceil(middle + reach)
    if not first <= events < last:
        return float(events >= last)
    n = np.arange(first, last + 1.0)
    logs = n * log_z - special.gammaln(n + 1.0) - special.gammaln(n)
    below = logs[: int(events - first) + 1]
    return float(np.exp(special.logsumexp(below) - special.logsumexp(logs)))


def _product_below(events: int, log_z: float) -> float:
    """Probability that the product of two gamma variables is below exp(log_z)."""
    second, weights = _gamma_nodes(events - 1)
    return float(weights @ special.gammainc(events, np.exp(log_z) / second))


@lru_cache(maxsize=8)
def _gamma_nodes(shape: int) -> tuple[FloatArray, FloatArray]:
    """Return points and weights that average over a gamma variable."""
    nodes, weights = np.polynomial.legendre.leggauss(QUADRATURE_POINTS)
    points = special.gammaincinv(float(shape), 0.5 * (nodes + 1.0))
    return np.asarray(points, dtype=np.float64), 0.5 * weights


def _root(excess: Callable[[float], float], events: int) -> float:
    """Return the log of z where the excess vanishes, near events squared."""
    centre, reach = 2.0 * np.log(events), 20.0 / np.sqrt(events) + 0.5
    root = optimize.brentq(excess, centre - reach, centre + reach, xtol=1e-12)
    return float(root)
