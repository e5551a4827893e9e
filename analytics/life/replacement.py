"""Best age for planned replacement of a component that wears out."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy import optimize, special

from analytics.life.arrays import FloatArray, as_numbers, positive_number
from analytics.life.errors import InvalidSample
from analytics.life.renewal import renewal_function
from analytics.life.weibull.functions import weibull_mean

# A smaller share saved is lost in the doubt about shape and costs.
LEAST_SAVING = 1e-3
CURVE_POINTS = 120
# By then no part is left to be replaced as planned.
LARGEST_POWER = 700.0


@dataclass(frozen=True, slots=True)
class AgeReplacement:
    """Planned replacement at a fixed age against running to failure.

    Parameters
    ----------
    worthwhile : bool
        Whether planned replacement pays.
    reason : str
        One sentence that says why or why not.
    age : float or None
        Best age, in the unit of the scale; None if not worthwhile.
    cost_rate : float
        Cost per unit of time under the better of the two policies.
    run_to_failure_cost_rate : float
        Cost per unit of time without planned replacement.
    saving : float
        Share of the run-to-failure cost that is saved, 0..1.
    mean_cycle_length : float
        Mean time between replacements of either kind.
    failures_prevented : float
        Share of replacements that are planned, 0..1.
    """

    worthwhile: bool
    reason: str
    age: float | None
    cost_rate: float
    run_to_failure_cost_rate: float
    saving: float
    mean_cycle_length: float
    failures_prevented: float


@dataclass(frozen=True, slots=True, eq=False)
class CostCurve:
    """Cost per unit of time against the age or interval of replacement."""

    ages: FloatArray
    cost_rate: FloatArray


def age_replacement(
    shape: float, scale: float, planned_cost: float, failure_cost: float
) -> AgeReplacement:
    """Find the age of planned replacement with the least cost.

    Parameters
    ----------
    shape, scale : float
        Weibull parameters, above zero.
    planned_cost, failure_cost : float
        Full cost of one planned and of one failure replacement, above zero.

    Returns
    -------
    AgeReplacement

    Raises
    ------
    InvalidSample
        If an argument is not above zero.

    Notes
    -----
    Cost rate = (planned * R(T) + failure * F(T)) / integral of R to T. With
    u = (T / scale) ** shape the best age is the root of u ** (1 - 1/shape) *
    gamma(1/shape, u) - F = planned / (failure - planned), which rises from
    zero without end for every shape above one.

    References
    ----------
    .. [1] Barlow, R. E. and Proschan, F., Mathematical Theory of Reliability,
       1965, chapter 4.
    """
    shape, scale, planned, failure = _checked(shape, scale, planned_cost, failure_cost)
    mean = weibull_mean(shape, scale)
    run_out = failure / mean
    if shape <= 1.0:
        return _never(
            "The chance of failing does not rise with age: a new part is no "
            "better than a running one.",
            run_out,
            mean,
        )
    if failure <= planned:
        return _never("A failure costs no more than a planned change.", run_out, mean)
    power = _best_power(shape, planned / (failure - planned))
    cycle = mean * float(special.gammainc(1.0 / shape, power))
    cost_rate = (planned - (failure - planned) * np.expm1(-power)) / cycle
    saving = 1.0 - float(cost_rate) / run_out
    if saving < LEAST_SAVING:
        return _never(
            "The best age lies so late that nearly every part fails before it.",
            run_out,
            mean,
        )
    return AgeReplacement(
        worthwhile=True,
        reason=f"Planned replacement saves {saving:.0%} of the cost.",
        age=scale * float(power ** (1.0 / shape)),
        cost_rate=float(cost_rate),
        run_to_failure_cost_rate=run_out,
        saving=saving,
        mean_cycle_length=cycle,
        failures_prevented=float(np.exp(-power)),
    )


def age_cost_curve(
    shape: float,
    scale: float,
    planned_cost: float,
    failure_cost: float,
    ages: ArrayLike | None = None,
) -> CostCurve:
    """Return the cost rate of replacing at each age or at failure.

    Parameters
    ----------
    shape, scale, planned_cost, failure_cost : float
        As for `age_replacement`.
    ages : array_like of float, optional
        Above zero; left out, a range around the scale.

    Returns
    -------
    CostCurve

    Raises
    ------
    InvalidSample
        If a number is not above zero.
    """
    shape, scale, planned, failure = _checked(shape, scale, planned_cost, failure_cost)
    checked = _curve_ages(ages, scale)
    power = (checked / scale) ** shape
    cycle = weibull_mean(shape, scale) * special.gammainc(1.0 / shape, power)
    cost = planned * np.exp(-power) - failure * np.expm1(-power)
    return CostCurve(checked, cost / cycle)


def block_cost_curve(
    shape: float,
    scale: float,
    planned_cost: float,
    failure_cost: float,
    ages: ArrayLike | None = None,
) -> CostCurve:
    """Return the cost rate of replacing all at fixed intervals, and at failure.

    Parameters
    ----------
    shape, scale, planned_cost, failure_cost : float
        As for `age_replacement`.
    ages : array_like of float, optional
        Intervals, above zero; left out, a range around the scale.

    Returns
    -------
    CostCurve
        (planned + failure * expected renewals) / interval.

    Raises
    ------
    InvalidSample
        If a number is not above zero.
    """
    shape, scale, planned, failure = _checked(shape, scale, planned_cost, failure_cost)
    checked = _curve_ages(ages, scale)
    renewals = renewal_function(shape, scale, checked)
    return CostCurve(checked, (planned + failure * renewals) / checked)


def _best_power(shape: float, cost_share: float) -> float:
    """Solve the condition of least cost for (age / scale) ** shape."""
    inverse = 1.0 / shape
    whole = float(special.gamma(inverse))

    def excess(power: float) -> float:
        area = whole * float(special.gammainc(inverse, power))
        rise = float(power ** (1.0 - inverse)) * area
        return rise + float(np.expm1(-power)) - cost_share

    high = 1.0
    while excess(high) < 0.0:
        high *= 2.0
        if high > LARGEST_POWER:
            return float("inf")
    low = 0.5 * high
    while excess(low) > 0.0:
        low *= 0.5
    return float(optimize.brentq(excess, low, high, xtol=1e-300, rtol=1e-14))


def _never(reason: str, run_out: float, mean: float) -> AgeReplacement:
    return AgeReplacement(
        worthwhile=False,
        reason=reason,
        age=None,
        cost_rate=run_out,
        run_to_failure_cost_rate=run_out,
        saving=0.0,
        mean_cycle_length=mean,
        failures_prevented=0.0,
    )


def _checked(
    shape: float, scale: float, planned_cost: float, failure_cost: float
) -> tuple[float, float, float, float]:
    return (
        positive_number(shape, "shape"),
        positive_number(scale, "scale"),
        positive_number(planned_cost, "planned cost"),
        positive_number(failure_cost, "failure cost"),
    )


def _curve_ages(ages: ArrayLike | None, scale: float) -> FloatArray:
    if ages is None:
        return np.linspace(0.02, 2.0, CURVE_POINTS) * scale
    checked = as_numbers(ages, "ages")
    if checked.size and checked.min() <= 0.0:
        raise InvalidSample("Every age must be above zero.")
    return checked
