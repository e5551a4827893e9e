"""Plain functions of a Weibull life with known shape and scale."""

import numpy as np
from scipy import special

from analytics.life.arrays import positive_number, zero_or_more


def weibull_reliability(shape: float, scale: float, age: float) -> float:
    """Return exp(-(age / scale) ** shape).

    Raises
    ------
    InvalidSample
        If the age is negative or a parameter is not above zero.
    """
    return float(np.exp(-_hazard(shape, scale, age)))


def weibull_mean(shape: float, scale: float) -> float:
    """Return the mean life, scale * Gamma(1 + 1/shape).

    Raises
    ------
    InvalidSample
        If a parameter is not above zero.
    """
    shape = positive_number(shape, "shape")
    scale = positive_number(scale, "scale")
    return scale * float(special.gamma(1.0 + 1.0 / shape))


def conditional_failure(
    shape: float, scale: float, age: float, horizon: float
) -> float:
    """Chance that a life that reached `age` ends within `horizon`.

    Parameters
    ----------
    shape, scale : float
        Weibull parameters, above zero.
    age : float
        Age reached, zero or more, in the unit of the scale.
    horizon : float
        Time ahead, above zero, same unit.

    Returns
    -------
    float
        1 - R(age + horizon) / R(age).

    Raises
    ------
    InvalidSample
        If an argument lies outside its range.
    """
    horizon = positive_number(horizon, "horizon")
    age = zero_or_more(age, "age")
    ahead = _hazard(shape, scale, age + horizon)
    if age == 0.0:
        return float(-np.expm1(-ahead))
    # Written as a share of the later hazard, a short horizon keeps its digits.
    share = -float(np.expm1(-shape * np.log1p(horizon / age)))
    return float(-np.expm1(-ahead * share))


def _hazard(shape: float, scale: float, age: float) -> float:
    shape = positive_number(shape, "shape")
    scale = positive_number(scale, "scale")
    age = zero_or_more(age, "age")
    if age == 0.0:
        return 0.0
    exponent = shape * float(np.log(age) - np.log(scale))
    return float(np.exp(exponent)) if exponent < 700.0 else float("inf")
