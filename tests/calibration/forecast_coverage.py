"""Coverage of forecasts and of the range of the best replacement age."""

import numpy as np

from analytics.life.data import LifeData
from analytics.life.errors import LifeError
from analytics.life.forecast import expected_failures
from analytics.life.replacement import age_cost_curve, age_replacement
from analytics.life.replacement_range import age_replacement_range
from analytics.life.weibull import weibull_fit, weibull_fit_fixed_shape, weibull_mean
from tests.calibration.shares import covered_shares

SHAPE = 2.5
PARTS, AHEAD = 20, 0.5
PLANNED, FAILURE = 1.0, 5.0


def fitted(failures, cut_share, known_shape, generator):
    """Fit of one drawn sample with true scale one, or None if refused."""
    lives = round(failures / (1.0 - cut_share))
    cut = (-np.log(cut_share)) ** (1.0 / SHAPE) if cut_share else np.inf
    ends = generator.weibull(SHAPE, lives)
    sample = LifeData(np.minimum(ends, cut), ends <= cut)
    try:
        if known_shape:
            fit = weibull_fit_fixed_shape(sample, SHAPE)
            return None if fit.scale is None else fit
        return weibull_fit(sample)
    except LifeError:
        return None


def forecast_coverage(failures, cut_share, known_shape, runs, seed):
    """Prediction limits against the failures that then come."""
    generator = np.random.default_rng(seed)
    low, high, came = [], [], []
    for _ in range(runs):
        fit = fitted(failures, cut_share, known_shape, generator)
        if fit is None:
            continue
        ages = generator.uniform(0.0, 1.0, PARTS)
        forecast = expected_failures(ages, fit, AHEAD)
        low.append(forecast.interval.low)
        high.append(forecast.interval.high)
        came.append(failures_to_come(ages, generator))
    shares = covered_shares(*map(np.array, (low, high, came)))
    return shares, 1.0 - len(low) / runs


def failures_to_come(ages, generator):
    """One true future: each part fails, is renewed and may fail again."""
    count = 0
    for age in ages:
        clock = (age**SHAPE + generator.exponential()) ** (1.0 / SHAPE) - age
        while clock <= AHEAD:
            count += 1
            clock += generator.weibull(SHAPE)
    return count


def replacement_coverage(failures, cut_share, runs, seed):
    """Best age, and saving of the age that was advised, against the truth."""
    generator = np.random.default_rng(seed)
    best = age_replacement(SHAPE, 1.0, PLANNED, FAILURE).age
    ages, savings, used = [], [], 0
    for _ in range(runs):
        fit = fitted(failures, cut_share, False, generator)
        if fit is None:
            continue
        found = age_replacement_range(fit, PLANNED, FAILURE)
        used += 1
        if found.age_interval is not None:
            ages.append((found.age_interval.low, found.age_interval.high))
        if found.policy.age is not None:
            interval, truth = found.saving_interval, true_saving(found.policy.age)
            savings.append((interval.low, interval.high, truth))
    low, high = np.array(ages).T
    return (
        covered_shares(low, high, best),
        covered_shares(*np.array(savings).T),
        1.0 - used / runs,
    )


def true_saving(age):
    rate = age_cost_curve(SHAPE, 1.0, PLANNED, FAILURE, [age]).cost_rate[0]
    return 1.0 - rate * weibull_mean(SHAPE, 1.0) / FAILURE
