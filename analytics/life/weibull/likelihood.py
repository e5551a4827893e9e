"""Sums of the Weibull likelihood for many populations in one flat layout."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy import special

from analytics.life.arrays import BoolArray, FloatArray, IntArray, positive_number
from analytics.life.data import LifeData


@dataclass(frozen=True, slots=True, eq=False)
class LifeSums:
    """Log ages of many populations, one after the other.

    Each life gives a row of weight +1 at its end and, if watched late, a row
    of weight -1 at its entry, so that the summed power of a population is
    S(k) = sum of weight * exp(k * row). Ages are taken relative to the
    greatest age of their population, which keeps every power within 0..1.

    Parameters
    ----------
    rows, weights : ndarray
        Log relative ages and their weights; `weights` None means all +1.
    starts, lengths : ndarray of int
        Where each population begins in `rows` and how many rows it has.
    failures : ndarray
        Number of failures of each population.
    failed_log_sum, failed_log_spread : ndarray
        Sum and standard deviation of the log relative ages at failure.
    log_reference : ndarray
        Log of the greatest age of each population.
    late : ndarray of bool
        Populations with a delayed entry.
    """

    rows: FloatArray
    weights: FloatArray | None
    starts: IntArray
    lengths: IntArray
    failures: FloatArray
    failed_log_sum: FloatArray
    failed_log_spread: FloatArray
    log_reference: FloatArray
    late: BoolArray

    def powers(self, shape: FloatArray) -> FloatArray:
        """Return S(k) of each population at its own shape."""
        return self._sum(self._terms(shape))

    def powers_with_slopes(
        self, shape: FloatArray
    ) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Return log S(k) and its first two derivatives in the shape."""
        terms = self._terms(shape)
        total = self._sum(terms)
        terms *= self.rows
        first = self._sum(terms) / total
        terms *= self.rows
        second = self._sum(terms) / total - first * first
        return np.log(total), first, second

    def profile(self, shape: FloatArray) -> FloatArray:
        """Return the likelihood maximised over the scale, less its constant."""
        return self.profile_of(shape, np.log(self.powers(shape)))

    def profile_of(self, shape: FloatArray, log_power: FloatArray) -> FloatArray:
        """Return the profile likelihood from a known log S(k)."""
        log_failures = np.log(np.maximum(self.failures, 1.0))
        per_failure = np.log(shape) - log_power + log_failures - 1.0
        return self.failures * per_failure + shape * self.failed_log_sum

    @property
    def constant(self) -> FloatArray:
        """What `profile` leaves out: minus the sum of log ages at failure."""
        return -(self.failed_log_sum + self.failures * self.log_reference)

    def chosen(self, mask: BoolArray) -> "LifeSums":
        """Return the populations where `mask` is true."""
        kept = np.repeat(mask, self.lengths)
        lengths = self.lengths[mask]
        return LifeSums(
            rows=self.rows[kept],
            weights=None if self.weights is None else self.weights[kept],
            starts=_starts(lengths),
            lengths=lengths,
            failures=self.failures[mask],
            failed_log_sum=self.failed_log_sum[mask],
            failed_log_spread=self.failed_log_spread[mask],
            log_reference=self.log_reference[mask],
            late=self.late[mask],
        )

    def _terms(self, shape: FloatArray) -> FloatArray:
        exponent = np.repeat(shape, self.lengths)
        exponent *= self.rows
        np.exp(exponent, out=exponent)
        if self.weights is not None:
            exponent *= self.weights
        return exponent

    def _sum(self, terms: FloatArray) -> FloatArray:
        if self.starts.size == 1:
            return np.array([terms.sum()])
        return np.add.reduceat(terms, self.starts)


def life_sums(populations: Sequence[LifeData]) -> LifeSums:
    """Lay out samples one after the other."""
    lengths = np.array([sample.ages.size for sample in populations], dtype=np.int64)
    ages = _joined([sample.ages for sample in populations])
    failed = _joined([sample.failed for sample in populations])
    if all(sample.entry_ages is None for sample in populations):
        return sums_from_rows(ages, failed, lengths)
    entries = np.concatenate([sample.entries for sample in populations])
    owner = np.repeat(np.arange(lengths.size), lengths)
    entered = entries > 0.0
    owners = np.concatenate([owner, owner[entered]])
    order = np.argsort(owners, kind="stable")
    return sums_from_rows(
        np.concatenate([ages, entries[entered]])[order],
        np.concatenate([failed, np.zeros(entered.sum(), dtype=bool)])[order],
        np.bincount(owners, minlength=lengths.size),
        np.concatenate([np.ones(ages.size), np.full(entered.sum(), -1.0)])[order],
    )


def sums_from_rows(
    ages: FloatArray,
    failed: BoolArray,
    lengths: IntArray,
    weights: FloatArray | None = None,
) -> LifeSums:
    """Build the sums from rows already in order of population."""
    starts = _starts(lengths)
    reference = np.maximum.reduceat(ages, starts)
    rows = _log_ratio(ages, np.repeat(reference, lengths))
    failures = np.add.reduceat(failed.astype(np.float64), starts)
    failed_rows = np.where(failed, rows, 0.0)
    total = np.add.reduceat(failed_rows, starts)
    mean = total / np.maximum(failures, 1.0)
    offset = np.where(failed, rows - np.repeat(mean, lengths), 0.0)
    spread = np.sqrt(np.add.reduceat(offset**2, starts) / np.maximum(failures, 1.0))
    # Equal ages give a spread of rounding errors only; the range is exact.
    lowest = np.minimum.reduceat(np.where(failed, rows, np.inf), starts)
    highest = np.maximum.reduceat(np.where(failed, rows, -np.inf), starts)
    return LifeSums(
        rows=rows,
        weights=weights,
        starts=starts,
        lengths=lengths,
        failures=failures,
        failed_log_sum=total,
        failed_log_spread=np.where(highest > lowest, spread, 0.0),
        log_reference=np.log(reference),
        late=(
            np.zeros(lengths.size, dtype=bool)
            if weights is None
            else np.minimum.reduceat(weights, starts) < 0.0
        ),
    )


def log_likelihood(data: LifeData, shape: float, scale: float) -> float:
    """Weibull log-likelihood with suspensions and delayed entry.

    Parameters
    ----------
    data : LifeData
        The sample.
    shape, scale : float
        Parameters, above zero; the scale in the unit of the ages.

    Returns
    -------
    float
        Natural logarithm of the likelihood.

    Raises
    ------
    InvalidSample
        If a parameter is not above zero.

    Notes
    -----
    Sum over failures of ln k + (k - 1) ln t - k ln s, less the sum over all
    lives of (t/s)^k - (e/s)^k, with k the shape, s the scale, t the age at
    the end and e at entry.
    """
    k = positive_number(shape, "shape")
    log_scale = np.log(positive_number(scale, "scale"))
    log_ages = np.log(data.ages)
    powers = k * (log_ages - log_scale)
    with np.errstate(over="ignore", divide="ignore"):
        # Written as one product, an entry just before the end cannot cancel.
        alive = -np.expm1(k * (np.log(data.entries) - log_ages))
        hazard = (np.exp(powers) * alive).sum()
    failed = log_ages[data.failed]
    density = failed.size * (np.log(k) - k * log_scale) + (k - 1.0) * failed.sum()
    return float(density - hazard)


def _log_ratio(ages: FloatArray, reference: FloatArray) -> FloatArray:
    """Log of age over reference, exact also where the two nearly agree."""
    ratio = ages / reference
    close = special.log1p(np.where(ratio > 0.5, (ages - reference) / reference, 0.0))
    return np.asarray(np.where(ratio > 0.5, close, np.log(ratio)), dtype=np.float64)


def _starts(lengths: IntArray) -> IntArray:
    return np.concatenate([[0], np.cumsum(lengths)[:-1]]).astype(np.int64)


def _joined(arrays: list[NDArray[Any]]) -> NDArray[Any]:
    return arrays[0] if len(arrays) == 1 else np.concatenate(arrays)
