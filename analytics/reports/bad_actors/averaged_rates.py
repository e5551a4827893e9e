"""Rates of units whose counts show no spread, averaged over the spreads left possible.

Counts that spread no more than chance do not say that all units have one rate. One rate
for all would give the group's narrow limits to units of which next to nothing is known.
"""

import numpy as np
from scipy import special

from analytics.exposure import Floats, Ints
from analytics.judging.expectation import FrozenExpectation, freeze

# Halvings of the logarithm of a rate; what is left is far below what is shown.
HALVINGS = 48


def averaged_rates(
    events: Ints, exposures: Floats, confidence: float
) -> tuple[Floats, Floats, Floats]:
    """Rate of each unit of a group with both limits, events per unit of exposure."""
    kinds, place = np.unique(np.stack([events, exposures]), axis=1, return_inverse=True)
    found = freeze(events.tolist(), exposures.tolist(), [True] * events.size)
    shape, rate = _posterior(found, kinds)
    weights = np.array(found.weights)
    tails = (1.0 - confidence) / 2, (1.0 + confidence) / 2
    low, high = (_quantile(weights, shape, rate, tail) for tail in tails)
    middle = weights @ (shape / rate)
    own = place.ravel()
    return middle[own], low[own], high[own]


def _posterior(found: FrozenExpectation, kinds: Floats) -> tuple[Floats, Floats]:
    """Gamma shape and rate, a row a pool and a column a kind of unit."""
    alphas, means = np.array(found.alphas), np.array(found.means)
    counts, times = kinds
    return alphas[:, None] + counts, (alphas / means)[:, None] + times


def _quantile(weights: Floats, shape: Floats, rate: Floats, tail: float) -> Floats:
    """Where so much of the weighted gammas lies below, by halving its logarithm."""
    each = np.log(np.maximum(special.gammaincinv(shape, tail) / rate, 1e-300))
    low, high = each.min(axis=0), each.max(axis=0)
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        below = weights @ special.gammainc(shape, rate * np.exp(middle)) < tail
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    return np.asarray(np.exp((low + high) / 2), dtype=float)
