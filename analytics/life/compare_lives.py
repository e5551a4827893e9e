"""Whether several samples of lives can share one Weibull distribution."""

from dataclasses import dataclass

import numpy as np
from scipy import special

from analytics.life.arrays import IntArray
from analytics.life.data import LifeData
from analytics.life.errors import InvalidSample
from analytics.life.weibull.likelihood import LifeSums, life_sums
from analytics.life.weibull.refusals import refusal
from analytics.life.weibull.solver import MINIMUM_FAILURES, Status, solve

# Below this many failures in a sample the chi-square is not trusted.
CHI_SQUARE_FROM = 20
PERMUTATIONS = 1999
SEED = 20190731


@dataclass(frozen=True, slots=True)
class WeibullComparison:
    """One Weibull for all samples against one for each.

    Parameters
    ----------
    statistic : float
        Twice the gain in log-likelihood by separate fits.
    degrees_of_freedom : int
        Difference in free parameters.
    p_value : float
        By permutation when a sample is small, else by chi-square.
    p_value_chi_square : float
        By chi-square in any case.
    method : {"permutation", "chi-square"}
        Which of the two `p_value` is.
    shapes, scales : tuple of float
        Separate fits, in the order given.
    shape, scale : float
        Common fit.
    """

    statistic: float
    degrees_of_freedom: int
    p_value: float
    p_value_chi_square: float
    method: str
    shapes: tuple[float, ...]
    scales: tuple[float, ...]
    shape: float
    scale: float


def weibull_likelihood_ratio(
    *samples: LifeData, permutations: int = PERMUTATIONS, seed: int = SEED
) -> WeibullComparison:
    """Test whether samples come from one Weibull distribution.

    Parameters
    ----------
    *samples : LifeData
        At least two, of one unit, each with three failures of more than one
        age.
    permutations : int, default 1999
        Random exchanges of lives between samples, used below 20 failures in
        any sample; zero leaves the chi-square alone.
    seed : int
        Of the exchanges; fixed, so that a page shows the same figure twice.

    Returns
    -------
    WeibullComparison

    Raises
    ------
    InvalidSample
        If fewer than two samples are given or their units differ.
    TooFewFailures, NoSpread, NoMaximum, DidNotConverge
        If a sample cannot carry a fit of its own.

    Notes
    -----
    The permutation takes for granted that the samples were watched alike: a
    sample cut earlier than another differs by more than its life.

    References
    ----------
    .. [1] Lawless, J. F., Statistical Models and Methods for Lifetime Data,
       2nd edition, 2003, section 5.4; from memory.
    """
    pooled = _pooled(samples)
    sums = life_sums([*samples, pooled])
    solution = solve(sums)
    for status, sample in zip(solution.status, [*samples, pooled], strict=True):
        if status != Status.OK:
            raise refusal(Status(int(status)), sample)
    heights = solution.profile + sums.constant
    statistic = max(0.0, 2.0 * float(heights[:-1].sum() - heights[-1]))
    freedom = 2 * (len(samples) - 1)
    by_chi_square = float(special.chdtrc(freedom, statistic))
    p_value, method = by_chi_square, "chi-square"
    if permutations and min(s.failures for s in samples) < CHI_SQUARE_FROM:
        sizes = np.array([sample.n for sample in samples])
        p_value = _permuted(
            pooled,
            sizes,
            float(heights[-1]),
            statistic,
            np.random.default_rng(seed),
            permutations,
        )
        method = "permutation"
    scales = np.exp(solution.log_scale + sums.log_reference)
    return WeibullComparison(
        statistic=statistic,
        degrees_of_freedom=freedom,
        p_value=p_value,
        p_value_chi_square=by_chi_square,
        method=method,
        shapes=tuple(solution.shape[:-1].tolist()),
        scales=tuple(scales[:-1].tolist()),
        shape=float(solution.shape[-1]),
        scale=float(scales[-1]),
    )


def _pooled(samples: tuple[LifeData, ...]) -> LifeData:
    if len(samples) < 2:
        raise InvalidSample("A comparison needs at least two samples.")
    if len({sample.unit for sample in samples}) > 1:
        raise InvalidSample("The samples are in different units.")
    return LifeData(
        np.concatenate([sample.ages for sample in samples]),
        np.concatenate([sample.failed for sample in samples]),
        np.concatenate([sample.entries for sample in samples]),
        samples[0].unit,
    )


def _permuted(
    pooled: LifeData,
    sizes: IntArray,
    common: float,
    statistic: float,
    generator: np.random.Generator,
    permutations: int,
) -> float:
    """Share of exchanges with a statistic as large as the one seen.

    Exchanges that leave a sample without a fit are drawn into neither count.
    """
    chunk = max(1, min(permutations, 2_000_000 // pooled.n))
    as_large, usable, left = 1, 1, permutations
    while left > 0:
        runs = min(chunk, left)
        sums = _exchanged(pooled, sizes, generator, runs)
        solution = solve(sums, MINIMUM_FAILURES - 1)
        heights = (solution.profile + sums.constant).reshape(runs, sizes.size)
        drawn = 2.0 * (heights.sum(axis=1) - common)
        drawn = drawn[np.isfinite(drawn)]
        usable += drawn.size
        # Equal splits must count as equal whatever the rounding.
        as_large += int((drawn >= statistic - 1e-9 * (1.0 + statistic)).sum())
        left -= runs
    return as_large / usable


def _exchanged(
    pooled: LifeData, sizes: IntArray, generator: np.random.Generator, runs: int
) -> LifeSums:
    order = generator.permuted(np.tile(np.arange(pooled.n), (runs, 1)), axis=1)
    borders = np.cumsum(sizes)[:-1]
    entries = pooled.entry_ages
    parts = [part for row in order for part in np.split(row, borders)]
    return life_sums(
        [
            LifeData(
                pooled.ages[part],
                pooled.failed[part],
                None if entries is None else entries[part],
                pooled.unit,
            )
            for part in parts
        ]
    )
