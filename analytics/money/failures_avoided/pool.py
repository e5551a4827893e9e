"""Rates of like positions, with the doubt about how much they differ.

`analytics.life.pooling` takes the one spread that fits best; ten positions often
leave it open whether they differ at all, and an effect measured against them must
not look surer than that. What actions are judged against is asked here too.
"""

from dataclasses import dataclass

import numpy as np

from analytics.judging.expectation import freeze
from analytics.life.arrays import FloatArray

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
    Most positions are alike or spread as a gamma, and a few may be some times
    worse (`analytics.judging.pools`): one gamma alone draws true bad actors far
    towards the others, and a change made at them would seem to do nothing. The
    seed is fixed.
    """
    every = np.arange(counts.size)
    found = freeze(counts.tolist(), times.tolist(), [True] * counts.size)
    chance, shape, rate = found.posterior()
    generator = np.random.default_rng(SEED)
    runs = int(np.clip(DRAWS // counts.size, *RUNS))
    pool = generator.choice(len(found.weights), size=runs, p=found.weights)
    # The first group is that of most positions, the last that of worse ones.
    is_worse = generator.random((runs, counts.size)) >= chance[0][pool]
    drawn_from = np.where(is_worse, len(chance) - 1, 0), pool[:, None], every
    return PoolRates(
        mean=found.rates(), drawn=generator.gamma(shape[drawn_from]) / rate[drawn_from]
    )
