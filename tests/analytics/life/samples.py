"""Small samples that several test modules share, with plain meaning."""

import numpy as np

from analytics.life.data import LifeData

SEAL_AGES = [14400, 19800, 21300, 23600, 24300, 28100, 29600, 29600, 34200, 38000]


def complete(ages):
    return LifeData(ages, [True] * len(ages))


def drawn(seed, n, shape=1.5, scale=1000.0, cut=None, late=0.0):
    """Weibull lives, cut at an age, some of them entered late."""
    generator = np.random.default_rng(seed)
    ages = scale * generator.weibull(shape, 3 * n)
    entries = np.where(
        generator.uniform(size=3 * n) < late,
        generator.uniform(0, 0.8 * scale, 3 * n),
        0.0,
    )
    seen = ages > entries
    if cut is not None:
        seen &= entries < cut
    ages, entries = ages[seen][:n], entries[seen][:n]
    limit = np.inf if cut is None else cut
    return LifeData(np.minimum(ages, limit), ages <= limit, entries)
