"""Maximum-likelihood Weibull fit of one sample, with intervals."""

from dataclasses import dataclass, field

import numpy as np

from analytics.life.arrays import (
    FloatArray,
    as_numbers,
    checked_confidence,
    checked_share,
    positive_number,
    zero_or_more,
)
from analytics.life.data import LifeData
from analytics.life.errors import InvalidSample
from analytics.life.results import Estimate, Interval
from analytics.life.weibull.bias import (
    few_positions_warnings,
    narrow_limits_warnings,
    unbiased_shape,
)
from analytics.life.weibull.functions import (
    conditional_failure,
    weibull_mean,
    weibull_reliability,
)
from analytics.life.weibull.information import weibull_information
from analytics.life.weibull.likelihood import LifeSums, life_sums, log_likelihood
from analytics.life.weibull.limits import (
    IntervalMethod,
    WeibullLimits,
    checked_method,
    few_failures_plan,
    simulated_thresholds,
)
from analytics.life.weibull.outlier import outlier_warnings
from analytics.life.weibull.power_curve import power_curve
from analytics.life.weibull.refusals import refusal
from analytics.life.weibull.solver import Solution, Status, solve


@dataclass(frozen=True, slots=True, eq=False)
class Band:
    """Failure probability along the age axis with pointwise limits."""

    ages: FloatArray
    probability: FloatArray
    low: FloatArray
    high: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class WeibullFit:
    """Fitted two-parameter Weibull life.

    Parameters
    ----------
    shape, scale : float
        Estimates; the scale (characteristic life) in the unit of the ages.
    shape_unbiased : float
        Shape corrected for the upward bias of few failures.
    log_likelihood : float
        Its maximum.
    shape_interval, scale_interval : Interval
        Limits at `confidence`.
    covariance : ndarray, shape (2, 2)
        Of shape and scale; robust when positions repeat.
    failures, suspensions, clusters : int
        Sample: lives that failed, lives that did not, distinct positions.
    unit : str
        Unit of the ages.
    confidence : float
        Two-sided confidence of every interval.
    warnings : tuple of str
        Sentences to show beside the figures.
    """

    shape: float
    shape_unbiased: float
    scale: float
    log_likelihood: float
    shape_interval: Interval
    scale_interval: Interval
    covariance: FloatArray
    failures: int
    suspensions: int
    clusters: int
    unit: str
    confidence: float
    warnings: tuple[str, ...]
    limits: WeibullLimits = field(repr=False)

    @property
    def mean(self) -> float:
        """Mean life, in the unit of the ages."""
        return weibull_mean(self.shape, self.scale)

    def mean_estimate(self) -> Estimate:
        """Mean life with its limits, in the unit of the ages."""
        low, high = self.limits.log_mean_limits()
        return Estimate(self.mean, self.limits.interval(_exp(low), _exp(high)))

    def b_life(self, percent: float) -> Estimate:
        """Age by which `percent` of lives have failed.

        Parameters
        ----------
        percent : float
            Between 0 and 100, exclusive; 10 gives the B10 life.

        Returns
        -------
        Estimate
            In the unit of the ages.

        Raises
        ------
        InvalidSample
            If the percentage lies outside its range.
        """
        percent = checked_share(percent, "percentage", whole=100.0)
        log_hazard = float(np.log(-np.log1p(-percent / 100.0)))
        low, high = self.limits.log_age_limits(log_hazard)
        return Estimate(
            self.scale * float(np.exp(log_hazard / self.shape)),
            self.limits.interval(_exp(low), _exp(high)),
        )

    def reliability(self, age: float) -> Estimate:
        """Share of lives that outlast an age.

        Raises
        ------
        InvalidSample
            If the age is negative or not a number.
        """
        age = zero_or_more(age, "age")
        value = weibull_reliability(self.shape, self.scale, age)
        if age == 0.0:
            return Estimate(1.0, self.limits.interval(1.0, 1.0))
        ((low,), (high,)) = self.limits.log_hazard_limits(np.log([age]))
        return Estimate(
            value,
            self.limits.interval(float(np.exp(-_exp(high))), float(np.exp(-_exp(low)))),
        )

    def conditional_failure(self, age: float, horizon: float) -> float:
        """Chance of failing within `horizon` after having reached `age`."""
        return conditional_failure(self.shape, self.scale, age, horizon)

    def conditional_failure_estimate(self, age: float, horizon: float) -> Estimate:
        """Chance of failing within `horizon` after `age`, with limits.

        Raises
        ------
        InvalidSample
            If an age is negative or the horizon is not above zero.
        """
        age, horizon = zero_or_more(age, "age"), positive_number(horizon, "horizon")
        value = self.conditional_failure(age, horizon)
        low, high = self.limits.log_gain_limits(age, horizon)
        return Estimate(
            value,
            self.limits.interval(
                -float(np.expm1(-_exp(low))), -float(np.expm1(-_exp(high)))
            ),
        )

    def band(self, ages: FloatArray) -> Band:
        """Failure probability with limits at many ages, for the plot.

        Parameters
        ----------
        ages : array_like of float
            Above zero.

        Raises
        ------
        InvalidSample
            If an age is not above zero.
        """
        checked = as_numbers(ages, "ages")
        if checked.size and checked.min() <= 0.0:
            raise InvalidSample("Every age must be above zero.")
        low, high = self.limits.log_hazard_limits(np.log(checked))
        log_hazard = self.shape * np.log(checked / self.scale)
        return Band(
            ages=checked,
            probability=-np.expm1(-np.exp(np.minimum(log_hazard, 700.0))),
            low=-np.expm1(-np.exp(np.minimum(low, 700.0))),
            high=-np.expm1(-np.exp(np.minimum(high, 700.0))),
        )


def weibull_fit(
    data: LifeData,
    confidence: float = 0.90,
    intervals: IntervalMethod = "calibrated",
) -> WeibullFit:
    """Fit shape and scale by maximum likelihood.

    Parameters
    ----------
    data : LifeData
        Lives with suspensions and delayed entry.
    confidence : float, default 0.90
        Two-sided, between 0 and 1, exclusive.
    intervals : {"calibrated", "likelihood_ratio", "wald_log"}
        `likelihood_ratio` are profile limits with the chi-square threshold;
        `calibrated` takes the threshold from simulation below ten failures
        and equals `likelihood_ratio` above; `wald_log` are normal limits of
        the logarithms.

    Returns
    -------
    WeibullFit

    Raises
    ------
    InvalidSample
        If a setting is out of range.
    TooFewFailures
        Below three failures: the shape cannot be estimated with any use.
    NoSpread
        If all failures have one age.
    NoMaximum
        If late entry leaves no maximum at a positive shape.
    DidNotConverge
        If the search did not settle.

    References
    ----------
    .. [1] Meeker, W. Q. and Escobar, L. A., Statistical Methods for
       Reliability Data, 1998, chapter 8; from memory.
    """
    confidence = checked_confidence(confidence)
    method = checked_method(intervals)
    sums = life_sums([data])
    solution = solve(sums)
    status = Status(int(solution.status[0]))
    if status is not Status.OK:
        raise refusal(status, data)
    return _fit(data, confidence, method, sums, solution)


def _fit(
    data: LifeData,
    confidence: float,
    method: IntervalMethod,
    sums: LifeSums,
    solution: Solution,
) -> WeibullFit:
    shape = float(solution.shape[0])
    log_scale = float(solution.log_scale[0] + sums.log_reference[0])
    scale = float(np.exp(log_scale))
    information = weibull_information(data, shape, scale)
    plan = few_failures_plan(data, shape, log_scale)
    simulated = None
    if method == "calibrated":
        simulated = simulated_thresholds(plan, data.failures, confidence)
    curve = power_curve(sums, shape)
    limits = WeibullLimits(
        curve, solution, information, confidence, method, simulated, plan
    )
    log_low, log_high = limits.log_age_limits(0.0)
    return WeibullFit(
        shape=shape,
        shape_unbiased=unbiased_shape(data, shape),
        scale=scale,
        log_likelihood=log_likelihood(data, shape, scale),
        shape_interval=limits.interval(*limits.shape_limits()),
        scale_interval=limits.interval(_exp(log_low), _exp(log_high)),
        covariance=information.covariance(shape, scale),
        failures=data.failures,
        suspensions=data.suspensions,
        clusters=data.clusters,
        unit=data.unit,
        confidence=confidence,
        warnings=_warnings(data, method),
        limits=limits,
    )


def _warnings(data: LifeData, method: IntervalMethod) -> tuple[str, ...]:
    return (
        *data.warnings,
        *outlier_warnings(data),
        *narrow_limits_warnings(data, method),
        *few_positions_warnings(data),
    )


def _exp(log_value: float) -> float:
    """Exponential with infinity instead of an overflow."""
    return float(np.exp(log_value)) if log_value < 700.0 else float("inf")
