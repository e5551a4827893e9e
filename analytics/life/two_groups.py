"""Event rates with a small group of bad units beside the ordinary ones."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy import optimize, special

from analytics.life.arrays import FloatArray, zero_or_more
from analytics.life.errors import InvalidSample
from analytics.life.pooling import (
    checked_counts,
    fit_prior,
    marginal_log_likelihood,
    rate_exceeds,
)

# Bounds of log alpha, log ratio and logit share: a bad unit has at least twice
# the rate of the others, and the bad ones stay a minority.
BOUNDS = ((-2.0, 9.0), (np.log(2.0), np.log(30.0)), (-7.0, -0.8))
STARTS = ((1.0, 1.2, -3.0), (4.0, 1.6, -4.0), (2.0, 2.3, -2.0))


@dataclass(frozen=True, slots=True, eq=False)
class TwoGroupPool:
    """Pool with an ordinary and a bad group.

    Parameters
    ----------
    ordinary_mean : float
        Mean rate of the ordinary units, events per unit of exposure.
    ratio : float
        Mean rate of the bad units over that of the ordinary ones.
    share : float
        Share of bad units, 0..1.
    alpha : float
        Shape of the gamma inside both groups.
    log_likelihood : float
        Marginal, at its maximum.
    log_likelihood_single : float
        Of one gamma for all, for comparison.
    membership : ndarray
        Probability of each unit to belong to the bad group.
    posterior_mean : ndarray
        Rate of each unit.
    """

    ordinary_mean: float
    ratio: float
    share: float
    alpha: float
    log_likelihood: float
    log_likelihood_single: float
    membership: FloatArray
    posterior_mean: FloatArray
    events: FloatArray
    exposures: FloatArray

    def prob_exceeds(self, multiple: float) -> FloatArray:
        """Probability that each rate exceeds a multiple of the ordinary mean.

        Raises
        ------
        InvalidSample
            If the multiple is negative or not a number.
        """
        multiple = zero_or_more(multiple, "multiple")
        threshold = multiple * self.ordinary_mean
        size = self.alpha + self.events
        chances = [
            rate_exceeds(size, self.alpha / mean + self.exposures, threshold)
            for mean in (self.ordinary_mean, self.ordinary_mean * self.ratio)
        ]
        return (1.0 - self.membership) * chances[0] + self.membership * chances[1]


def two_group_pool(events: ArrayLike, exposures: ArrayLike) -> TwoGroupPool:
    """Fit two groups of units by marginal likelihood.

    Parameters
    ----------
    events : array_like of int, shape (n,)
        Events of each unit, at least three units and one event.
    exposures : array_like of float, shape (n,)
        Time watched of each unit, above zero.

    Returns
    -------
    TwoGroupPool

    Raises
    ------
    InvalidSample
        If the sample is too small or a number is out of range.

    Notes
    -----
    Rates are gamma with shape alpha in both groups; the second mean is `ratio`
    times the first. A single gamma stretches to take extreme units in, and
    then finds nothing odd about them.
    """
    counts, times = checked_counts(events, exposures)
    if counts.size < 3 or counts.sum() == 0.0:
        raise InvalidSample("Two groups need at least three units and one event.")
    centre = float(np.log(counts.sum() / times.sum()))
    bounds = [(centre - 4.0, centre + 2.0), *BOUNDS]
    answers = [
        optimize.minimize(
            _loss,
            np.array([centre - 0.2, *start]),
            args=(counts, times),
            method="L-BFGS-B",
            bounds=bounds,
        )
        for start in STARTS
    ]
    best = min(answers, key=lambda answer: float(answer.fun))
    return _result(counts, times, np.asarray(best.x), -float(best.fun))


def _parts(
    place: FloatArray, counts: FloatArray, times: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Log probability of each count with membership of either group."""
    log_mean, log_alpha, log_ratio, logit = place
    alpha = float(np.exp(log_alpha))
    ordinary = marginal_log_likelihood(counts, times, alpha, float(np.exp(log_mean)))
    bad = marginal_log_likelihood(
        counts, times, alpha, float(np.exp(log_mean + log_ratio))
    )
    return (
        ordinary + special.log_expit(-logit),
        bad + special.log_expit(logit),
    )


def _loss(place: FloatArray, counts: FloatArray, times: FloatArray) -> float:
    return -float(np.logaddexp(*_parts(place, counts, times)).sum())


def _result(
    counts: FloatArray, times: FloatArray, place: FloatArray, log_likelihood: float
) -> TwoGroupPool:
    ordinary, bad = _parts(place, counts, times)
    mean, alpha, ratio = np.exp(place[:3])
    membership = special.expit(bad - ordinary)
    size = alpha + counts
    rates = [size / (alpha / m + times) for m in (mean, mean * ratio)]
    return TwoGroupPool(
        ordinary_mean=float(mean),
        ratio=float(ratio),
        share=float(special.expit(place[3])),
        alpha=float(alpha),
        log_likelihood=log_likelihood,
        log_likelihood_single=_single(counts, times),
        membership=membership,
        posterior_mean=(1.0 - membership) * rates[0] + membership * rates[1],
        events=counts,
        exposures=times,
    )


def _single(counts: FloatArray, times: FloatArray) -> float:
    prior = fit_prior(counts, times, np.ones(counts.size))
    pooled = float(counts.sum() / times.sum())
    alpha, mean = (1e9, pooled) if prior is None else prior
    return float(marginal_log_likelihood(counts, times, alpha, mean).sum())
