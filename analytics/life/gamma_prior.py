"""Gamma distribution of event rates between units, found from their counts."""

import numpy as np
from scipy import special

from analytics.life.arrays import FloatArray
from analytics.life.errors import DidNotConverge

# Above this shape the spread between units cannot be told from none.
LARGEST_ALPHA = 1e6
NEWTON_STEPS = 200
# Logs of alpha at which the search begins: the likelihood can have two peaks.
LOG_ALPHAS = np.linspace(-3.0, np.log(LARGEST_ALPHA), 24)
MEAN_STEPS = 12
# A smaller gain of the log-likelihood is no sign of any spread.
LEAST_GAIN = 1e-6


def marginal_log_likelihood(
    counts: FloatArray,
    times: FloatArray,
    alpha: float | FloatArray,
    mean: float | FloatArray,
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


def common_log_likelihood(counts: FloatArray, expected: FloatArray) -> FloatArray:
    """Return the log probability of each count at one common rate."""
    return np.asarray(
        special.xlogy(counts, expected) - expected - special.gammaln(counts + 1.0),
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
        Alpha and mean rate near the answer; left out, a range of alphas is
        tried first.

    Raises
    ------
    DidNotConverge
        If the search did not settle.
    """
    if not (weights @ counts) > 0.0:
        return None
    place = _summit(counts, times, weights) if start is None else np.log(start)
    if place is None:
        return None
    for _ in range(NEWTON_STEPS):
        slopes, bends = unit_slopes(counts, times, place)
        step = _uphill(slopes @ weights, bends @ weights)
        place = place + step
        if place[0] > np.log(LARGEST_ALPHA):
            return None
        if np.abs(step).max() < 1e-10:
            return float(np.exp(place[0])), float(np.exp(place[1]))
    if start is not None:
        return fit_prior(counts, times, weights)
    # So flat that rounding moves the answer about: no spread to speak of.
    if np.abs(slopes @ weights).max() < LEAST_GAIN:
        return None
    raise DidNotConverge("The spread between the units could not be estimated.")


def _summit(
    counts: FloatArray, times: FloatArray, weights: FloatArray
) -> FloatArray | None:
    """Return logs of alpha and mean near the greatest likelihood.

    None if no finite alpha is likelier than one common rate.
    """
    pooled = float((weights @ counts) / (weights @ times))
    alphas = np.exp(LOG_ALPHAS)[:, None]
    log_means = np.full((alphas.size, 1), np.log(pooled))
    for _ in range(MEAN_STEPS):
        expected = np.exp(log_means) * times
        total = alphas + expected
        slope = (alphas * (counts - expected) / total) @ weights
        bend = (alphas * expected * (alphas + counts) / total**2) @ weights
        step = np.clip(slope / bend, -1.0, 1.0)[:, None]
        log_means = log_means + step
        if np.abs(step).max() < 1e-6:
            break
    heights = np.array(
        [
            marginal_log_likelihood(counts, times, float(alpha), float(mean)) @ weights
            for alpha, mean in zip(
                alphas.ravel(), np.exp(log_means).ravel(), strict=True
            )
        ]
    )
    best = int(heights.argmax())
    common = float(common_log_likelihood(counts, pooled * times) @ weights)
    if heights[best] - common < LEAST_GAIN:
        return None
    return np.array([LOG_ALPHAS[best], float(log_means[best, 0])])


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
