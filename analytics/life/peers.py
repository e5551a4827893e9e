"""Each unit against a pool of its peers that it is itself not part of."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy import special

from analytics.life.arrays import FloatArray, zero_or_more
from analytics.life.errors import InvalidSample
from analytics.life.pooling import (
    checked_counts,
    fit_prior,
    rate_exceeds,
    unit_slopes,
)

# Up to this many distinct pairs of count and exposure every pool is fitted.
EXACT_KINDS = 400


@dataclass(frozen=True, slots=True, eq=False)
class PeerComparison:
    """Units against their peers; arrays in the order given.

    Parameters
    ----------
    peer_mean : ndarray
        Mean rate of the other units, events per unit of exposure.
    alpha : ndarray
        Shape of the gamma fitted to the others; infinite if homogeneous.
    expected : ndarray
        Events the unit would have at the mean rate of its peers.
    posterior_mean : ndarray
        Rate of the unit, pulled towards that of its peers.
    p_value : ndarray
        Chance that a peer with this exposure has as many events or more.
    """

    peer_mean: FloatArray
    alpha: FloatArray
    expected: FloatArray
    posterior_mean: FloatArray
    p_value: FloatArray
    events: FloatArray
    exposures: FloatArray

    def prob_exceeds(self, multiple: float) -> FloatArray:
        """Probability that each rate exceeds a multiple of its peers' mean.

        Raises
        ------
        InvalidSample
            If the multiple is negative or not a number.
        """
        multiple = zero_or_more(multiple, "multiple")
        chance = np.full(self.events.size, float(multiple < 1.0))
        spread = np.isfinite(self.alpha)
        mean, alpha = self.peer_mean[spread], self.alpha[spread]
        chance[spread] = rate_exceeds(
            alpha + self.events[spread],
            alpha / mean + self.exposures[spread],
            multiple * mean,
        )
        return chance


def leave_one_out_peers(events: ArrayLike, exposures: ArrayLike) -> PeerComparison:
    """Compare each unit with the pool of all others.

    Parameters
    ----------
    events : array_like of int, shape (n,)
        Events of each unit, at least two units.
    exposures : array_like of float, shape (n,)
        Time watched of each unit, above zero.

    Returns
    -------
    PeerComparison

    Raises
    ------
    InvalidSample
        If fewer than two units are given or a number is out of range.
    DidNotConverge
        If a pool could not be fitted.

    Notes
    -----
    An extreme unit widens the pool it belongs to and so hides itself; left
    out, it is judged by the spread of the others alone. Units with the same
    count and exposure share their result, which keeps large fleets quick.
    """
    counts, times = checked_counts(events, exposures)
    if counts.size < 2:
        raise InvalidSample("A comparison with peers needs at least two units.")
    pairs = np.stack([counts, times], axis=1)
    kinds, place, weights = np.unique(
        pairs, axis=0, return_inverse=True, return_counts=True
    )
    kind_counts, kind_times = kinds.T
    priors = _others_exactly if weights.size <= EXACT_KINDS else _others_by_one_step
    alpha, mean = priors(kind_counts, kind_times, weights.astype(np.float64))
    alpha, mean = alpha[place.ravel()], mean[place.ravel()]
    expected = mean * times
    return PeerComparison(
        peer_mean=mean,
        alpha=alpha,
        expected=expected,
        posterior_mean=_posterior_mean(counts, times, alpha, mean),
        p_value=_as_many_or_more(counts, expected, alpha),
        events=counts,
        exposures=times,
    )


def _others_exactly(
    counts: FloatArray, times: FloatArray, weights: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Fit the pool of the others anew for each kind of unit."""
    everyone = fit_prior(counts, times, weights)
    rows = []
    for own in range(weights.size):
        others = weights.copy()
        others[own] -= 1.0
        prior = fit_prior(counts, times, others, everyone)
        rows.append(
            (np.inf, _pooled(counts, times, others)) if prior is None else prior
        )
    alpha, mean = np.array(rows).T
    return alpha, mean


def _others_by_one_step(
    counts: FloatArray, times: FloatArray, weights: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Take one Newton step from the pool of all, with the own unit left out.

    In a fleet this large one unit moves the pool so little that a second step
    would change nothing that is shown.
    """
    everyone = fit_prior(counts, times, weights)
    if everyone is None:
        others = (weights @ counts - counts) / (weights @ times - times)
        return np.full(counts.size, np.inf), others
    place = np.log(np.array(everyone))
    slopes, bends = unit_slopes(counts, times, place)
    bend = (bends @ weights)[:, :, None] - bends
    step = np.linalg.solve(bend.transpose(2, 0, 1), slopes.T[:, :, None])[:, :, 0]
    alpha, mean = np.exp(place + np.clip(step, -1.0, 1.0)).T
    return alpha, mean


def _pooled(counts: FloatArray, times: FloatArray, weights: FloatArray) -> float:
    """Return the common rate; half an event stands for none at all."""
    return max(float(weights @ counts), 0.5) / float(weights @ times)


def _posterior_mean(
    counts: FloatArray, times: FloatArray, alpha: FloatArray, mean: FloatArray
) -> FloatArray:
    # (alpha + x) / (alpha / m + t), written so that an infinite alpha gives m.
    return np.asarray(mean * (1.0 + counts / alpha) / (1.0 + mean * times / alpha))


def _as_many_or_more(
    counts: FloatArray, expected: FloatArray, alpha: FloatArray
) -> FloatArray:
    """Upper tail of the predictive distribution of a count."""
    at_least = np.maximum(counts, 1.0)
    poisson = special.gammainc(at_least, expected)
    size = np.where(np.isfinite(alpha), alpha, 1.0)
    negative_binomial = special.betainc(at_least, size, expected / (size + expected))
    tail = np.where(np.isfinite(alpha), negative_binomial, poisson)
    return np.asarray(np.where(counts == 0.0, 1.0, tail), dtype=np.float64)
