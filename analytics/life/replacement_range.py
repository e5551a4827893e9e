"""Best replacement age within the doubt about the fitted life."""

from dataclasses import dataclass

import numpy as np

from analytics.life.arrays import checked_confidence
from analytics.life.errors import TooFewFailures
from analytics.life.parameter_draws import (
    Fit,
    few_cut_failures_warnings,
    parameter_draws,
)
from analytics.life.replacement import (
    AgeReplacement,
    age_cost_curve,
    age_replacement,
)
from analytics.life.results import Interval
from analytics.life.weibull.functions import weibull_mean

RUNS = 500
SEED = 20190731


@dataclass(frozen=True, slots=True)
class ReplacementRange:
    """Planned replacement with the doubt about shape and scale.

    Parameters
    ----------
    policy : AgeReplacement
        At the estimates.
    worthwhile_share : float
        Share of plausible lives for which planned replacement pays, 0..1.
    age_interval : Interval or None
        Of the best age, over the lives for which it pays; None if for none.
    saving_interval : Interval
        Of the share of cost saved by replacing at the age of `policy`; below
        zero it costs more than running to failure.
    warnings : tuple of str
        Doubts, in sentences.
    """

    policy: AgeReplacement
    worthwhile_share: float
    age_interval: Interval | None
    saving_interval: Interval
    warnings: tuple[str, ...] = ()


def age_replacement_range(
    fit: Fit, planned_cost: float, failure_cost: float, confidence: float = 0.90
) -> ReplacementRange:
    """Find the best replacement age and how sure it is.

    Parameters
    ----------
    fit : WeibullFit or FixedShapeFit
        Life of the part, with at least one failure.
    planned_cost, failure_cost : float
        Full cost of one planned and of one failure replacement, above zero.
    confidence : float, default 0.90
        Two-sided, between 0 and 1, exclusive.

    Returns
    -------
    ReplacementRange

    Raises
    ------
    InvalidSample
        If a cost or the confidence is out of range.
    TooFewFailures
        If the fit has no scale.
    """
    confidence = checked_confidence(confidence)
    if fit.scale is None:
        raise TooFewFailures("Without a failure the life has no estimate.")
    policy = age_replacement(fit.shape, fit.scale, planned_cost, failure_cost)
    shapes, scales = parameter_draws(fit, RUNS, np.random.default_rng(SEED))
    drawn = [
        age_replacement(float(k), float(s), planned_cost, failure_cost)
        for k, s in zip(shapes, scales, strict=True)
    ]
    ages = [other.age for other in drawn if other.age is not None]
    savings = [0.0]
    if policy.age is not None:
        age = policy.age
        savings = [
            _saving_at(age, float(k), float(s), planned_cost, failure_cost)
            for k, s in zip(shapes, scales, strict=True)
        ]
    return ReplacementRange(
        policy=policy,
        worthwhile_share=len(ages) / RUNS,
        age_interval=_interval(ages, confidence) if ages else None,
        saving_interval=_interval(savings, confidence),
        warnings=few_cut_failures_warnings(fit),
    )


def _saving_at(
    age: float, shape: float, scale: float, planned: float, failure: float
) -> float:
    """Return the share of cost saved by replacing at a given age."""
    rate = age_cost_curve(shape, scale, planned, failure, [age]).cost_rate[0]
    return 1.0 - float(rate) * weibull_mean(shape, scale) / failure


def _interval(values: list[float], confidence: float) -> Interval:
    half = 0.5 * (1.0 - confidence)
    low, high = np.quantile(values, [half, 1.0 - half])
    return Interval(float(low), float(high), confidence, "simulated parameters")
