"""Event rates of like units, each drawn towards the rate of all.

Rates vary between units as a gamma distribution whose parameters are found
from the counts themselves (empirical Bayes).
"""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike
from scipy import special

from analytics.life.arrays import FloatArray, checked_confidence, paired
from analytics.life.errors import DidNotConverge, InvalidSample

# Above this shape the spread between units cannot be told from none.
LARGEST_ALPHA = 1e6
NEWTON_STEPS = 200


@dataclass(frozen=True, slots=True, eq=False)
class GammaPoissonPool:
    """Pool of like units.

    Parameters
    ----------
    alpha, beta : float or None
        Shape and rate of the gamma prior, `beta` in units of exposure; None
        for both when the counts show no spread beyond chance.
    pool_mean : float
        Mean rate of the pool, events per unit of exposure.
    log_likelihood : float
        Marginal, at its maximum.
    posterior_mean : ndarray, shape (n,)
        Rate of each unit given its own count and the pool.
    posterior_interval : ndarray, shape (n, 2)
        Equal-tailed limits; when homogeneous, the exact limits of the common
        rate. They leave out the error of alpha and beta.
    events, exposures : ndarray
        As given.
    confidence : float
        Of the interval.
    """

    alpha: float | None
    beta: float | None
    pool_mean: float
    log_likelihood: float
    posterior_mean: FloatArray
    posterior_interval: FloatArray
    events: FloatArray = field(repr=False)
    exposures: FloatArray = field(repr=False)
    confidence: float

    @property
    def homogeneous(self) -> bool:
        """Whether the counts show no spread beyond chance."""
        return self.alpha is None

    def prob_exceeds(self, multiple: float) -> FloatArray:
        """Probability of each unit that its rate exceeds a multiple of the pool.

        Parameters
        ----------
        multiple : float
            Of the mean rate of the pool, zero or more.

        Raises
        ------
        InvalidSample
            If the multiple is negative or not a number.
        """
        if not (np.isfinite(multiple) and multiple >= 0.0):
            raise InvalidSample("The multiple must be zero or more.")
        if self.alpha is None or self.beta is None:
            return np.full(self.events.size, float(multiple < 1.0))
        return rate_exceeds(
            self.alpha + self.events,
            self.beta + self.exposures,
            multiple * self.pool_mean,
        )


def gamma_poisson_pool(
    events: ArrayLike, exposures: ArrayLike, confidence: float = 0.90
) -> GammaPoissonPool:
    """Fit the pool by marginal likelihood and draw each unit towards it.

    Parameters
    ----------
    events : array_like of int, shape (n,)
        Events of each unit, zero or more.
    exposures : array_like of float, shape (n,)
        Time watched of each unit, above zero, one unit for all.
    confidence : float, default 0.90
        Of the posterior intervals.

    Returns
    -------
    GammaPoissonPool

    Raises
    ------
    InvalidSample
        If lengths differ, nothing is given or a number is out of range.
    DidNotConverge
        If the search did not settle.

    Notes
    -----
    Counts are negative binomial with size alpha and probability
    beta / (beta + exposure); the posterior of a unit is gamma with alpha +
    events and beta + exposure. If the counts spread no more than Poisson
    counts with one rate, that rate is used for all.

    References
    ----------
    .. [1] Gaver, D. P. and O'Muircheartaigh, I. G., Technometrics 29 (1987)
       1-15.
    """
    counts, times = checked_counts(events, exposures)
    confidence = checked_confidence(confidence)
    prior = fit_prior(counts, times, np.ones(counts.size))
    tails = np.array([0.5 * (1.0 - confidence), 0.5 * (1.0 + confidence)])
    if prior is None:
        return _homogeneous(counts, times, confidence, tails)
    alpha, mean = prior
    beta = alpha / mean
    size, rate = alpha + counts, beta + times
    return GammaPoissonPool(
        alpha=alpha,
        beta=beta,
        pool_mean=mean,
        log_likelihood=float(marginal_log_likelihood(counts, times, alpha, mean).sum()),
        posterior_mean=size / rate,
        posterior_interval=special.gammaincinv(size[:, None], tails) / rate[:, None],
        events=counts,
        exposures=times,
        confidence=confidence,
    )


def rate_exceeds(
    size: FloatArray, rate: FloatArray, threshold: float | FloatArray
) -> FloatArray:
    """Return the probability that gamma rates exceed a threshold."""
    return np.asarray(special.gammaincc(size, rate * threshold), dtype=np.float64)


def checked_counts(
    events: ArrayLike, exposures: ArrayLike
) -> tuple[FloatArray, FloatArray]:
    """Return checked counts and exposures of equal length.

    Raises
    ------
    InvalidSample
        If lengths differ, nothing is given or a number is out of range.
    """
    counts, times = paired(events, exposures, "event counts", "exposures")
    if counts.min() < 0.0 or (counts != np.floor(counts)).any():
        raise InvalidSample("Every count must be a whole number, zero or more.")
    if times.min() <= 0.0:
        raise InvalidSample("Every exposure must be above zero.")
    return counts, times


def marginal_log_likelihood(
    counts: FloatArray, times: FloatArray, alpha: float, mean: float | FloatArray
) -> FloatArray:
    """Return the log probability of each count under a gamma pool."""
    expected = mean * times
    return np.asarray(
        special.gammaln(alpha + counts)
        - special.gammaln(alpha)
        - special.gammaln(counts + 1.0)
        - alpha * np.log1p(expected / alpha)
        + special.xlogy(counts, expected / (alpha + expected)),
        dtype=np.float64,
    )


def fit_prior(
    counts: FloatArray,
    times: FloatArray,
    weights: FloatArray,
    start: tuple[float, float] | None = None,
) -> tuple[float, float] | None:
    """Return alpha and the mean rate, or None if the units are homogeneous.

    Parameters
    ----------
    counts, times, weights : ndarray
        Units, with how often each one counts.
    start : tuple of float, optional
        Alpha and mean rate near the answer.

    Raises
    ------
    DidNotConverge
        If the search did not settle.
    """
    pooled = float((weights @ counts) / (weights @ times))
    excess = float(weights @ ((counts - pooled * times) ** 2 - counts))
    # At infinite alpha the likelihood falls towards finite alpha.
    if excess <= 0.0 or counts.sum() == 0.0:
        return None
    alpha = (weights @ (pooled * times) ** 2) / excess
    place = np.log(np.array((alpha, pooled) if start is None else start, dtype=float))
    for _ in range(NEWTON_STEPS):
        slopes, bends = unit_slopes(counts, times, place)
        if place[0] > np.log(LARGEST_ALPHA):
            return None
        step = _uphill(slopes @ weights, bends @ weights)
        place = place + step
        if np.abs(step).max() < 1e-10:
            return float(np.exp(place[0])), float(np.exp(place[1]))
    raise DidNotConverge("The spread between the units could not be estimated.")


def unit_slopes(
    counts: FloatArray, times: FloatArray, place: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Differentiate each unit's log probability in log alpha and log mean.

    Returns
    -------
    ndarray, shape (2, n)
        First derivatives.
    ndarray, shape (2, 2, n)
        Second derivatives.
    """
    alpha, expected = np.exp(place[0]), np.exp(place[1]) * times
    total, over = alpha + expected, counts - expected
    rise = (
        special.digamma(alpha + counts)
        - special.digamma(alpha)
        - np.log1p(expected / alpha)
        - over / total
    )
    curve = (
        special.polygamma(1, alpha + counts)
        - special.polygamma(1, alpha)
        + expected / (alpha * total)
        + over / total**2
    )
    mixed = alpha * expected * over / total**2
    bend = -alpha * expected * (alpha + counts) / total**2
    return (
        np.stack([alpha * rise, alpha * over / total]),
        np.stack(
            [
                np.stack([alpha * rise + alpha**2 * curve, mixed]),
                np.stack([mixed, bend]),
            ]
        ),
    )


def _uphill(slope: FloatArray, bend: FloatArray) -> FloatArray:
    """Return Newton's step where the hill is round, a plain climb elsewhere."""
    sizes, axes = np.linalg.eigh(bend)
    # A floor on the curvature turns every axis of the step uphill.
    curvature = np.maximum(np.abs(sizes), 1e-8)
    step = axes @ ((axes.T @ slope) / curvature)
    return np.asarray(step / max(1.0, np.abs(step).max()), dtype=np.float64)


def _homogeneous(
    counts: FloatArray, times: FloatArray, confidence: float, tails: FloatArray
) -> GammaPoissonPool:
    total, time = counts.sum(), times.sum()
    pooled = float(total / time)
    low = special.gammaincinv(total, tails[0]) / time if total else 0.0
    limits = np.array([low, special.gammaincinv(total + 1.0, tails[1]) / time])
    log_likelihood = (
        special.xlogy(counts, pooled * times)
        - pooled * times
        - special.gammaln(counts + 1.0)
    ).sum()
    return GammaPoissonPool(
        alpha=None,
        beta=None,
        pool_mean=pooled,
        log_likelihood=float(log_likelihood),
        posterior_mean=np.full(counts.size, pooled),
        posterior_interval=np.tile(limits, (counts.size, 1)),
        events=counts,
        exposures=times,
        confidence=confidence,
    )
