"""How likely each unit's rate is above a multiple of that of its peers.

The rates of a fleet, each over the mean of its own peers, are taken to come from one
distribution of no given form, found from all counts together: one common rate, a
smooth spread and a few bad units beside many good ones are all told by it. A small
peer group borrows the spread from the whole fleet.
"""

import numpy as np

from analytics.exposure import Floats, Ints

# Few steps from a flat start keep the distribution smooth: let run to the end it
# would put one spike under every odd unit, and be sure of each.
STEPS = 60
WIDEST = 20.0
STEP = 1.1
# Odds this close together share one likelihood, which keeps large fleets quick.
ODDS_DIGITS = 2


def chance_above(multiple: float, events: Ints, totals: Floats, odds: Floats) -> Floats:
    """Probability of each unit that its rate exceeds a multiple of its peers' mean.

    `totals` are the events of a unit and all its peers, `odds` its exposure over
    theirs. Given the total, a count is binomial whatever the rate of the peers, so
    that few events among the peers make the answer less sure.
    """
    # The multiple lies between two points, never on one.
    half = int(np.ceil(np.log(WIDEST) / np.log(STEP)))
    points = multiple * STEP ** (np.arange(-2 * half, half) + 0.5)
    kinds, place, weights = np.unique(
        np.stack([events, totals, _rounded(odds)], axis=1),
        axis=0,
        return_inverse=True,
        return_counts=True,
    )
    count, total, share = (column[:, None] for column in kinds.T)
    log_chance = count * np.log(points) - total * np.log1p(share * points)
    chance = np.exp(log_chance - log_chance.max(axis=1, keepdims=True))
    prior = np.full(points.size, 1.0 / points.size)
    for _ in range(STEPS):
        # What the units say of each point, given the distribution so far.
        prior *= (weights / (chance @ prior)) @ chance / weights.sum()
    above = points > multiple
    answer = (chance[:, above] @ prior[above]) / (chance @ prior)
    return np.asarray(answer[place.ravel()], dtype=float)


def _rounded(odds: Floats) -> Floats:
    """Odds to a few significant digits."""
    size = 10.0 ** (ODDS_DIGITS - np.floor(np.log10(odds)))
    return np.asarray(np.round(odds * size) / size, dtype=float)
