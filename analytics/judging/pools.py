"""Pools of like units that their counts leave possible, each with its weight.

Most units of a pool have rates that are alike or spread as a gamma. A small share may
be worse: their rates are a gamma of its own, some times higher. How far rates spread,
how many are worse and how many times is uncertain and is averaged over on a grid, so
that neither two units nor a fleet of equal ones can push any of it to an end.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import special

from analytics.life.pooling import marginal_log_likelihood

Floats = NDArray[np.float64]

# Spread of the rates between equals: standard deviation over mean. Before anything is
# counted, equals are as likely as not to have next to none (the first), else a usual
# one; a fleet with a real spread soon says so.
SPREADS = np.array([0.03, 0.15, 0.3, 0.45, 0.6, 0.8, 1.0, 1.3, 1.65, 2.0])
USUAL_SPREAD = 0.5
ALL_ALIKE = 0.5
# Before anything is counted, as likely as not no unit is worse, else one of these
# shares so many times as the others on average, all equally likely.
NONE_WORSE = 0.5
SHARES = (0.006, 0.02, 0.06, 0.15)
TIMES_WORSE = (3.0, 5.5, 10.0)
WORSE_ALPHA = 3.0
# Of the mean, in errors of its logarithm to either side of the likeliest.
MEANS = np.linspace(-2.5, 2.5, 5)
STEPS = 4
LONGEST_STEP = 0.7
LEAST_WEIGHT = 3e-3


@dataclass(frozen=True, slots=True, eq=False)
class Pools:
    """Arrays with an entry a pool.

    `alphas` (shape) and `means` (events per unit of exposure) are of the gamma of most
    units, `worse_alphas` and `worse_means` of that of the `shares` of worse ones.
    """

    weights: Floats
    alphas: Floats
    means: Floats
    shares: Floats
    worse_alphas: Floats
    worse_means: Floats


def possible_pools(counts: Floats, times: Floats, *, some_worse: bool = True) -> Pools:
    """Weigh the pools by how well they explain the counts of all units.

    Without `some_worse` every pool is one gamma.
    """
    # Units of the same count and time add the same; a fleet has many of them.
    (kinds, spans), sizes = np.unique(
        np.stack([counts, times]), axis=1, return_counts=True
    )
    chances, shares, ratios = _worse_groups(some_worse=some_worse)
    pooled = max(float(counts.sum()), 0.5) / float(times.sum())
    start = pooled / (1.0 + shares * (ratios - 1.0))
    log_weights, means = np.empty((2, SPREADS.size, MEANS.size, shares.size))
    for place, chance in enumerate(_spread_chances()):
        alpha = float(SPREADS[place]) ** -2.0
        units = _Units(kinds, spans, sizes.astype(float), alpha, shares, ratios)
        likeliest, error = units.likeliest_means(start)
        means[place] = likeliest * np.exp(np.multiply.outer(MEANS, error))
        prior = np.log(chance * chances * error)
        log_weights[place] = units.log_likelihood(means[place]) + prior
    weights = np.exp(log_weights - log_weights.max())
    kept = weights > LEAST_WEIGHT * weights.max()
    spread, _, group = np.nonzero(kept)
    return Pools(
        weights=weights[kept] / weights[kept].sum(),
        alphas=SPREADS[spread] ** -2.0,
        means=means[kept],
        shares=shares[group],
        worse_alphas=np.full(group.size, WORSE_ALPHA),
        worse_means=means[kept] * ratios[group],
    )


def _worse_groups(*, some_worse: bool) -> tuple[Floats, Floats, Floats]:
    """Prior chance, share and times worse of each; the first has no worse units."""
    if not some_worse:
        return np.ones(1), np.zeros(1), np.ones(1)
    shares = [0.0, *(share for share in SHARES for _ in TIMES_WORSE)]
    ratios = [1.0, *(ratio for _ in SHARES for ratio in TIMES_WORSE)]
    chances = np.full(len(shares), (1.0 - NONE_WORSE) / (len(shares) - 1))
    chances[0] = NONE_WORSE
    return chances, np.array(shares), np.array(ratios)


def _spread_chances() -> Floats:
    """Prior chance of each spread: half a normal distribution beside all alike."""
    between = (SPREADS[1:] + SPREADS[:-1]) / 2
    cells = np.diff(special.erf(np.append(between, np.inf) / USUAL_SPREAD / 2**0.5))
    usual = (1.0 - ALL_ALIKE) * cells / cells.sum()
    return np.concatenate([[ALL_ALIKE], usual])


@dataclass(frozen=True, slots=True, eq=False)
class _Units:
    """Kinds of units under pools of one spread, a row a pool of `shares`, `ratios`."""

    counts: Floats
    times: Floats
    sizes: Floats
    alpha: float
    shares: Floats
    ratios: Floats

    def log_likelihood(self, means: Floats) -> Floats:
        """Of all units together, for means of shape (..., pools)."""
        return np.asarray(np.logaddexp(*self._in_groups(means)) @ self.sizes)

    def _in_groups(self, means: Floats) -> tuple[Floats, Floats]:
        """Log chance of each kind of unit to be one of most, and one of the worse."""
        share = self.shares[:, None]
        usual, worse = (
            marginal_log_likelihood(self.counts, self.times, alpha, mean[..., None])
            for alpha, mean in self._gammas(means)
        )
        with np.errstate(divide="ignore"):
            return usual + np.log1p(-share), worse + np.log(share)

    def _gammas(self, means: Floats) -> tuple[tuple[float, Floats], ...]:
        return (self.alpha, means), (WORSE_ALPHA, means * self.ratios)

    def likeliest_means(self, start: Floats) -> tuple[Floats, Floats]:
        """Likeliest mean of each pool and the error of its logarithm, by scoring.

        Half an event more keeps them from nought where nothing happened.
        """
        log_means = np.log(start)
        for _ in range(STEPS):
            means = np.exp(log_means)
            usual, worse = self._in_groups(means)
            odds = worse - usual
            slope, information = np.full(means.size, 0.5), np.zeros(means.size)
            chances = special.expit(-odds), special.expit(odds)
            for chance, (alpha, mean) in zip(chances, self._gammas(means), strict=True):
                expected = mean[:, None] * self.times
                weight = chance / (1.0 + expected / alpha)
                slope += (weight * (self.counts - expected)) @ self.sizes
                information += (weight * expected) @ self.sizes
            step = slope / information
            log_means += np.clip(step, -LONGEST_STEP, LONGEST_STEP)
        return np.exp(log_means), information**-0.5
