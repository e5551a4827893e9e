"""Ratio of failures from the fitted lives of the old and the new component."""

import numpy as np

from analytics.life.parameter_draws import Fit
from analytics.life.renewal import renewal_function
from analytics.life.results import Interval
from analytics.life.weibull import FixedShapeFit
from analytics.money.errors import InvalidFigure, TooLittleData
from analytics.money.failures_avoided.ratio import FailureRatio
from analytics.money.figures import Amount, above_zero, checked_share

FEWEST_FAILURES = 3


def ratio_from_lives(
    before: Fit, after: Fit, horizon: Amount | None = None, confidence: float = 0.90
) -> FailureRatio:
    """Compare the failures of two components from their fitted lives.

    Parameters
    ----------
    before, after : WeibullFit or FixedShapeFit
        Life of the old and of the new component, in one unit of age, each
        from at least three failures, both with limits at `confidence`.
    horizon : float, optional
        Time in the unit of the ages, above zero: both start new and are
        renewed at failure up to there. Without it the long run is compared,
        where a component fails once per mean life.
    confidence : float, default 0.90
        Of the interval.

    Returns
    -------
    FailureRatio

    Raises
    ------
    InvalidFigure
        If the units or the confidence differ or the horizon is not above
        zero.
    TooLittleData
        If a fit has too few failures or its mean life has no upper limit.

    Notes
    -----
    Long run: mean life before / mean life after; horizon: M_after(h) /
    M_before(h) with the renewal function M. The limits join those of the
    two means on the log scale, each by the distance to its own limit, so
    that calibrated limits of few failures keep their width. For a horizon
    they are carried to M at the fitted shape.

    References
    ----------
    .. [1] Zou, G. Y. and Donner, A., Construction of confidence limits about
       effect measures, Statistics in Medicine 27 (2008) 1693-1702; from
       memory.
    """
    confidence = checked_share(confidence)
    if before.unit != after.unit:
        raise InvalidFigure(
            f"One life is in {before.unit}, the other in {after.unit}: no ratio."
        )
    ahead = None if horizon is None else above_zero(horizon, "horizon")
    old, old_low, old_high = _failures(before, ahead, confidence)
    new, new_low, new_high = _failures(after, ahead, confidence)
    middle = np.log(new / old)
    down = np.hypot(np.log(new / new_low), np.log(old_high / old))
    up = np.hypot(np.log(new_high / new), np.log(old / old_low))
    ratio = float(np.exp(middle))
    span = "in the long run" if ahead is None else "over the horizon from new"
    limits = Interval(
        float(np.exp(middle - down)),
        float(np.exp(middle + up)),
        confidence,
        "limits of two mean lives joined",
    )
    note = f"From {before.failures} failures before and {after.failures} after, {span}."
    return FailureRatio(ratio, ratio, limits, (note,))


def _failures(
    fit: Fit, horizon: float | None, confidence: float
) -> tuple[float, float, float]:
    """Return failures of a component with their limits, per mean or to a horizon."""
    mean, low, high = _mean_life(fit, confidence)
    if horizon is None:
        return 1.0 / mean, 1.0 / high, 1.0 / low
    scale = fit.scale or mean
    many, best, few = (
        float(renewal_function(fit.shape, scale * life / mean, horizon)[0])
        for life in (low, mean, high)
    )
    return best, few, many


def _mean_life(fit: Fit, confidence: float) -> tuple[float, float, float]:
    if fit.failures < FEWEST_FAILURES or fit.scale is None or fit.mean is None:
        raise TooLittleData(
            f"A life with {fit.failures} failures says too little; "
            f"{FEWEST_FAILURES} are needed on either side."
        )
    if isinstance(fit, FixedShapeFit):
        per_scale, limits = fit.mean / fit.scale, fit.scale_interval
        low, high = limits.low * per_scale, limits.high * per_scale
    else:
        limits = fit.mean_estimate().interval
        low, high = limits.low, limits.high
    if limits.confidence != confidence:
        raise InvalidFigure("The lives were fitted with another confidence.")
    if not 0.0 < low <= high < np.inf:
        raise TooLittleData("The mean life has no two limits yet: too few failures.")
    return fit.mean, low, high
