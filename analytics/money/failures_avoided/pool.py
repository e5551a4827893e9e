"""Rates of like positions, with the doubt about how much they differ.

`analytics.life.pooling` takes the one spread that fits best; ten positions often
leave it open whether they differ at all, and an effect measured against them must
not look surer than that.
"""

from dataclasses import dataclass

import numpy as np

from analytics.life.arrays import FloatArray
from analytics.life.pooling import marginal_log_likelihood

# Standard deviation of the rates over their mean, each as likely beforehand.
SPREADS = np.linspace(0.05, 2.0, 30)
MEANS = 25
MEAN_REACH = 4.0
DRAWS = 500_000
RUNS = (1_000, 20_000)
SEED = 20220317


@dataclass(frozen=True, slots=True, eq=False)
class PoolRates:
    """Rates of all positions.

    Parameters
    ----------
    mean : ndarray, shape (n,)
        Expected rate of each, given its own count and the pool.
    drawn : ndarray, shape (runs, n)
        Rates that the counts leave possible.
    """

    mean: FloatArray
    drawn: FloatArray


def pool_rates(counts: FloatArray, times: FloatArray) -> PoolRates:
    """Draw each position towards the pool.

    Parameters
    ----------
    counts, times : ndarray, shape (n,)
        Checked events, at least one in all, and exposures.

    Returns
    -------
    PoolRates

    Notes
    -----
    Rates are gamma over the positions. Spread and mean of that gamma have a
    flat prior on a grid, the second on its log; given them a rate is gamma
    with alpha + count and beta + exposure. The seed is fixed.
    """
    generator = np.random.default_rng(SEED)
    alphas, means, weights = _grid(counts, times)
    sizes, rates = alphas[:, None] + counts, (alphas / means)[:, None] + times
    runs = int(np.clip(DRAWS // counts.size, *RUNS))
    node = generator.choice(alphas.size, size=runs, p=weights)
    return PoolRates(
        mean=weights @ (sizes / rates),
        drawn=generator.gamma(sizes[node]) / rates[node],
    )


def _grid(
    counts: FloatArray, times: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return alphas and means of the pool with the probability of each pair."""
    total = float(counts.sum())
    # As if the widest spread were true: wide enough for every other.
    error = np.sqrt(1.0 / total + SPREADS[-1] ** 2 / counts.size)
    reach = np.linspace(-MEAN_REACH, MEAN_REACH, MEANS) * error
    means = np.exp(np.log(total / times.sum()) + reach)
    alphas = SPREADS**-2.0
    likelihood = np.stack(
        [
            marginal_log_likelihood(counts, times, alpha, means[:, None]).sum(axis=1)
            for alpha in alphas.tolist()
        ]
    )
    weights = np.exp(likelihood - likelihood.max()).ravel()
    weights /= weights.sum()
    return np.repeat(alphas, MEANS), np.tile(means, alphas.size), weights
