"""Weibull fit with the shape taken as known: exact limits, few failures enough."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

import numpy as np
from scipy import special

from analytics.life.arrays import checked_confidence, checked_share, positive_number
from analytics.life.data import LifeData
from analytics.life.errors import InvalidSample, TooFewFailures
from analytics.life.results import Interval
from analytics.life.weibull.functions import (
    conditional_failure,
    weibull_mean,
    weibull_reliability,
)
from analytics.life.weibull.likelihood import log_likelihood

Truncation = Literal["time", "failure"]
LOG_SPARE, LARGEST_LOG = 20.0, 700.0
METHOD = "exact chi-square, shape taken as known"


@dataclass(frozen=True, slots=True)
class BoundedEstimate:
    """A value, absent without failures, and its interval."""

    value: float | None
    interval: Interval


@dataclass(frozen=True, slots=True)
class FixedShapeFit:
    """One-parameter Weibull fit.

    Parameters
    ----------
    shape : float
        As given.
    scale : float or None
        Characteristic life in the unit of the ages; None without failures.
    scale_interval : Interval
        `high` is infinite without failures: the data give a lower bound only.
    log_likelihood : float or None
        At the estimate; None without failures.
    failures, suspensions : int
        Sample.
    truncation : {"time", "failure"}
        Rule of the lower limit.
    unit : str
        Unit of the ages.
    """

    shape: float
    scale: float | None
    scale_interval: Interval
    log_likelihood: float | None
    failures: int
    suspensions: int
    truncation: Truncation
    unit: str

    @property
    def mean(self) -> float | None:
        """Mean life; None without failures."""
        return None if self.scale is None else weibull_mean(self.shape, self.scale)

    def b_life(self, percent: float) -> BoundedEstimate:
        """Age by which `percent` of lives have failed.

        Raises
        ------
        InvalidSample
            If the percentage does not lie between 0 and 100.
        """
        percent = checked_share(percent, "percentage", whole=100.0)
        factor = float((-np.log1p(-percent / 100.0)) ** (1.0 / self.shape))
        limits = self.scale_interval
        return BoundedEstimate(
            None if self.scale is None else self.scale * factor,
            _interval(limits.low * factor, limits.high * factor, limits.confidence),
        )

    def reliability(self, age: float) -> BoundedEstimate:
        """Share of lives that outlast an age.

        Raises
        ------
        InvalidSample
            If the age is negative or not a number.
        """
        limits = self.scale_interval
        low = weibull_reliability(self.shape, limits.low, age)
        high = 1.0
        if np.isfinite(limits.high):
            high = weibull_reliability(self.shape, limits.high, age)
        value = None
        if self.scale is not None:
            value = weibull_reliability(self.shape, self.scale, age)
        return BoundedEstimate(value, _interval(low, high, limits.confidence))

    def conditional_failure(self, age: float, horizon: float) -> float:
        """Chance of failing within `horizon` after having reached `age`.

        Raises
        ------
        TooFewFailures
            Without failures there is no estimate to start from.
        """
        if self.scale is None:
            raise TooFewFailures("Without a failure the chance has no estimate.")
        return conditional_failure(self.shape, self.scale, age, horizon)


def weibull_fit_fixed_shape(
    data: LifeData,
    shape: float,
    confidence: float = 0.90,
    truncation: Truncation | None = None,
) -> FixedShapeFit:
    """Fit the scale with the shape taken as known.

    Parameters
    ----------
    data : LifeData
        Any number of failures, none included.
    shape : float
        Above zero; from experience with like components.
    confidence : float, default 0.90
        Two-sided, between 0 and 1, exclusive.
    truncation : {"time", "failure"}, optional
        Whether observation ended at set times or with a failure; left out,
        "failure" for a sample without suspensions and "time" otherwise.

    Returns
    -------
    FixedShapeFit

    Raises
    ------
    InvalidSample
        If a setting is out of range, or if "failure" is claimed without one.

    Notes
    -----
    T = sum of age ** shape - entry ** shape. With r failures, 2 T / scale **
    shape is chi-square with 2 r degrees, and 2 r + 2 for the lower limit when
    observation ended at set times.

    References
    ----------
    .. [1] Nelson, W., Weibull Analysis of Reliability Data with Few or No
       Failures, Journal of Quality Technology 17 (1985) 140-146; from memory.
    """
    shape = positive_number(shape, "shape")
    confidence = checked_confidence(confidence)
    failures = data.failures
    if truncation is None:
        truncation = "time" if data.suspensions else "failure"
    if truncation not in ("time", "failure"):
        raise InvalidSample(f"No truncation is called {truncation!r}.")
    if truncation == "failure" and failures == 0:
        raise InvalidSample("A test that ends with a failure has at least one.")
    log_total = _log_total(data, shape)
    # The limits lie within a factor of a hundred powers of this.
    if abs(log_total) + LOG_SPARE > LARGEST_LOG * shape:
        raise InvalidSample("The shape is too far from that of any life.")
    scale = None
    if failures:
        scale = float(np.exp((log_total - np.log(failures)) / shape))
    half = 0.5 * (1.0 - confidence)
    extra = 1 if truncation == "time" else 0
    low = _scale_at(log_total, failures + extra, half, shape)
    high = np.inf
    if failures:
        high = _scale_at(log_total, failures, 1.0 - half, shape)
    return FixedShapeFit(
        shape=shape,
        scale=scale,
        scale_interval=_interval(low, high, confidence),
        log_likelihood=None if scale is None else log_likelihood(data, shape, scale),
        failures=failures,
        suspensions=data.suspensions,
        truncation=truncation,
        unit=data.unit,
    )


def fixed_shape_sensitivity(
    data: LifeData, shapes: Iterable[float], confidence: float = 0.90
) -> tuple[FixedShapeFit, ...]:
    """Fit the scale at several shapes, to see how the answer moves."""
    return tuple(weibull_fit_fixed_shape(data, k, confidence) for k in shapes)


def _log_total(data: LifeData, shape: float) -> float:
    """Log of the sum of powered ages, safe for any size of power."""
    reference = float(np.log(data.ages.max()))
    total = np.exp(shape * (np.log(data.ages) - reference)).sum()
    entered = data.entries[data.entries > 0.0]
    total -= np.exp(shape * (np.log(entered) - reference)).sum()
    return float(np.log(total) + shape * reference)


def _scale_at(log_total: float, events: int, upper_tail: float, shape: float) -> float:
    chi_square = float(special.chdtri(2.0 * events, upper_tail))
    return float(np.exp((log_total + np.log(2.0 / chi_square)) / shape))


def _interval(low: float, high: float, confidence: float) -> Interval:
    return Interval(low, float(high), confidence, METHOD)
