"""Coverage of Weibull intervals when positions give several lives each.

Lives of one position share a positive-stable frailty: dependent, and yet each
life by itself is exactly Weibull, so that the truth is known.
"""

import numpy as np

from analytics.life.data import LifeData
from analytics.life.errors import LifeError
from analytics.life.weibull import weibull_fit
from tests.calibration.shares import covered_shares

LIVES_EACH = 3
LOG_HAZARD_B10 = float(np.log(-np.log(0.9)))
TRUTHS = {"shape": 1.0, "scale": 1.0, "B10": float(np.exp(LOG_HAZARD_B10))}


def clustered_coverage(positions, tie, cut_share, runs, seed):
    """Share covered by target; `tie` is Kendall's rank correlation."""
    generator = np.random.default_rng(seed)
    labels = np.repeat(np.arange(positions), LIVES_EACH)
    cut = -np.log(cut_share) if cut_share else np.inf
    limits = {target: [] for target in TRUTHS}
    refused = warned = 0
    for _ in range(runs):
        ends = tied_lives(positions, tie, generator)
        try:
            fit = weibull_fit(
                LifeData(np.minimum(ends, cut), ends <= cut, groups=labels)
            )
        except LifeError:
            refused += 1
            continue
        warned += any("less often than stated" in words for words in fit.warnings)
        limits["shape"].append(fit.shape_interval)
        limits["scale"].append(fit.scale_interval)
        limits["B10"].append(fit.b_life(10).interval)
    shares = {
        target: covered_shares(
            np.array([one.low for one in found]),
            np.array([one.high for one in found]),
            TRUTHS[target],
        )
        for target, found in limits.items()
    }
    return shares, refused / runs, warned / max(1, runs - refused)


def tied_lives(positions, tie, generator):
    """Unit exponential lives, those of one position dependent."""
    power = 1.0 - tie
    angle = generator.uniform(0.0, np.pi, positions)
    waiting = generator.exponential(size=positions)
    frailty = (
        np.sin(power * angle)
        / np.sin(angle) ** (1.0 / power)
        * (np.sin(tie * angle) / waiting) ** (tie / power)
    )
    lives = generator.exponential(size=(positions, LIVES_EACH))
    return ((lives / frailty[:, None]) ** power).ravel()
