"""Weibull fits of thousands of populations in one solve."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy import special

from analytics.life.arrays import FloatArray, IntArray, checked_confidence
from analytics.life.data import LifeData
from analytics.life.errors import InvalidSample
from analytics.life.weibull.likelihood import LifeSums, life_sums
from analytics.life.weibull.region import likelihood_region
from analytics.life.weibull.solver import Solution, Status, solve

# Enough for four digits of every limit; the fit of one sample uses more.
NODES = 20
EDGE_POINTS = 40


@dataclass(frozen=True, slots=True, eq=False)
class WeibullFits:
    """Fits of many populations, in the order given.

    Parameters
    ----------
    shape, scale, log_likelihood : ndarray
        NaN where `status` is not OK.
    status : ndarray of int
        `Status` of each population.
    failures, suspensions : ndarray of int
        Sample of each population.
    shape_low, shape_high, scale_low, scale_high, b10_low, b10_high : ndarray
        Likelihood-ratio limits with the chi-square threshold; NaN if they
        were not asked for. Below ten failures they are too narrow: fit such
        a population by itself before showing its limits.
    confidence : float
        Two-sided confidence of the limits.
    """

    shape: FloatArray
    scale: FloatArray
    log_likelihood: FloatArray
    status: IntArray
    failures: IntArray
    suspensions: IntArray
    shape_low: FloatArray
    shape_high: FloatArray
    scale_low: FloatArray
    scale_high: FloatArray
    b10_low: FloatArray
    b10_high: FloatArray
    confidence: float

    @property
    def fitted(self) -> NDArray[np.bool_]:
        """Populations with a fit."""
        return np.asarray(self.status == Status.OK, dtype=bool)

    @property
    def b10(self) -> FloatArray:
        """Age by which a tenth of the lives have failed."""
        return np.asarray(self.scale * (-np.log(0.9)) ** (1.0 / self.shape))


def weibull_fit_many(
    populations: Sequence[LifeData],
    confidence: float = 0.90,
    intervals: Literal["likelihood_ratio"] | None = None,
) -> WeibullFits:
    """Fit many populations at once; none of them raises.

    Parameters
    ----------
    populations : sequence of LifeData
        Their units may differ: each is fitted by itself.
    confidence : float, default 0.90
        Two-sided, between 0 and 1, exclusive.
    intervals : "likelihood_ratio" or None
        None leaves the limits out.

    Returns
    -------
    WeibullFits

    Raises
    ------
    InvalidSample
        If a setting is out of range. A population that cannot carry a fit
        gets a status instead.
    """
    confidence = checked_confidence(confidence)
    if intervals not in (None, "likelihood_ratio"):
        raise InvalidSample(f"No interval method is called {intervals!r} here.")
    populations = list(populations)
    if not populations:
        return _fits(np.empty((9, 0)), np.empty((3, 0), dtype=np.int64), confidence)
    sums = life_sums(populations)
    solution = solve(sums)
    limits = np.full((6, len(populations)), np.nan)
    if intervals is not None:
        limits = _limits(sums, solution, confidence)
    lives = np.array([sample.ages.size for sample in populations])
    failures = sums.failures.astype(np.int64)
    estimates = np.stack(
        [
            solution.shape,
            np.exp(solution.log_scale + sums.log_reference),
            solution.profile + sums.constant,
        ]
    )
    return _fits(
        np.concatenate([estimates, limits]),
        np.stack([solution.status, failures, lives - failures]),
        confidence,
    )


def _limits(sums: LifeSums, solution: Solution, confidence: float) -> FloatArray:
    """Return six rows of limits, NaN where there is no fit."""
    limits = np.full((6, solution.status.size), np.nan)
    good = np.asarray(solution.status == Status.OK, dtype=bool)
    if not good.any():
        return limits
    kept = sums if good.all() else sums.chosen(good)
    fits = solution if good.all() else solution.chosen(good)
    threshold = float(special.chdtri(1.0, 1.0 - confidence))
    drop = np.full(kept.failures.size, 0.5 * threshold)
    region = likelihood_region(kept, fits, drop, NODES, EDGE_POINTS)
    rows = [region.shape_low, region.shape_high]
    for log_hazard in (0.0, float(np.log(-np.log(0.9)))):
        rows += [
            np.exp(np.minimum(kept.log_reference + limit, 700.0))
            for limit in region.log_age_limits(log_hazard)
        ]
    limits[:, good] = np.stack(rows)
    return limits


def _fits(numbers: FloatArray, counts: IntArray, confidence: float) -> WeibullFits:
    return WeibullFits(
        *numbers[:3],
        *counts,
        *numbers[3:],
        confidence=confidence,  # type: ignore[misc]
    )
