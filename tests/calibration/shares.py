"""How often limits held the truth, each tail apart."""

import numpy as np


def covered_shares(low, high, truth):
    """Share covered, truth below the interval, truth above it."""
    below, above = np.mean(low > truth), np.mean(high < truth)
    return 1.0 - below - above, below, above
