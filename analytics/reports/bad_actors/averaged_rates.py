"""Rates of units whose counts show no spread, averaged over the spreads left possible.

Counts that spread no more than chance do not say that all units have one rate. One rate
for all would give the group's narrow limits to units of which next to nothing is known.
Nor do such counts leave room for a few worse units: a pool with those has the same
coverage within about a point and takes more than twice as long, so it is one gamma.
"""

import numpy as np
from scipy import special

from analytics.exposure import Floats, Ints
from analytics.judging.pools import possible_pools

# Halvings of the logarithm of a rate; what is left is far below what is shown.
HALVINGS = 24


def averaged_rates(
    events: Ints, exposures: Floats, confidence: float
) -> tuple[Floats, Floats, Floats]:
    """Rate of each unit of a group with both limits, events per unit of exposure."""
    (counts, times), place = np.unique(
        np.stack([events, exposures]), axis=1, return_inverse=True
    )
    pools = possible_pools(events.astype(float), exposures, some_worse=False)
    # A row a pool and a column a kind of unit.
    shape = pools.alphas[:, None] + counts
    rate = (pools.alphas / pools.means)[:, None] + times
    tails = (1.0 - confidence) / 2, (1.0 + confidence) / 2
    low, high = (_quantile(pools.weights, shape, rate, tail) for tail in tails)
    middle = pools.weights @ (shape / rate)
    own = place.ravel()
    return middle[own], low[own], high[own]


def _quantile(weights: Floats, shape: Floats, rate: Floats, tail: float) -> Floats:
    """Where so much of the weighted gammas lies below, by halving its logarithm."""
    each = np.log(np.maximum(special.gammaincinv(shape, tail) / rate, 1e-300))
    low, high = each.min(axis=0), each.max(axis=0)
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        below = weights @ special.gammainc(shape, rate * np.exp(middle)) < tail
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    return np.asarray(np.exp((low + high) / 2), dtype=float)
