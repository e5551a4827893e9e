"""Plotting positions: adjusted ranks and median ranks of failures."""

from dataclasses import dataclass

import numpy as np

from analytics.life.arrays import FloatArray
from analytics.life.data import LifeData
from analytics.life.errors import InvalidSample, TooFewFailures


@dataclass(frozen=True, slots=True, eq=False)
class MedianRanks:
    """Plotting positions of the failures, in order of age.

    Parameters
    ----------
    ages : ndarray
        Ages at failure, ascending.
    adjusted_rank : ndarray
        Order number among all lives, corrected for suspensions.
    median_rank : ndarray
        Estimated share failed, 0..1.
    n : int
        Number of lives.
    """

    ages: FloatArray
    adjusted_rank: FloatArray
    median_rank: FloatArray
    n: int


def median_ranks(data: LifeData) -> MedianRanks:
    """Rank the failures among all lives, for plotting.

    Parameters
    ----------
    data : LifeData
        Lives watched from zero. A suspension tied with a failure counts as
        outliving it.

    Returns
    -------
    MedianRanks

    Raises
    ------
    InvalidSample
        If lives entered late: ranks have no meaning for them.
    TooFewFailures
        If nothing failed.

    Notes
    -----
    Each failure raises the rank by (n + 1 - rank before) / (1 + lives not
    shorter); the median rank is (rank - 0.3) / (n + 0.4).

    References
    ----------
    .. [1] Johnson, L. G., The Statistical Treatment of Fatigue Experiments,
       1964 (adjusted ranks); from memory.
    .. [2] Benard, A. and Bos-Levenbach, E. C., Statistica Neerlandica 7
       (1953) 163-173 (median ranks); from memory.
    """
    if data.entry_ages is not None:
        raise InvalidSample("Ranks cannot be given when lives entered late.")
    if data.failures == 0:
        raise TooFewFailures("Nothing failed, so there is nothing to rank.")
    order = np.lexsort((~data.failed, data.ages))
    failed = data.failed[order]
    places = np.flatnonzero(failed)
    # One factor per failure: (n + 1 - rank) shrinks by the share that remains.
    remaining = data.n - places
    left = np.cumprod(remaining / (remaining + 1.0))
    adjusted = np.asarray((data.n + 1.0) * (1.0 - left), dtype=np.float64)
    return MedianRanks(
        ages=data.ages[order][failed],
        adjusted_rank=adjusted,
        median_rank=(adjusted - 0.3) / (data.n + 0.4),
        n=data.n,
    )
