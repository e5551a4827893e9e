"""Limits of everything read from one Weibull fit, by one of three methods."""

from collections.abc import Collection
from dataclasses import dataclass, field
from typing import Literal, get_args

import numpy as np
from scipy import special

from analytics.life.arrays import FloatArray
from analytics.life.data import LifeData
from analytics.life.errors import InvalidSample
from analytics.life.results import Interval
from analytics.life.weibull.calibration import (
    CALIBRATED_BELOW,
    KNOTS,
    Plan,
    Thresholds,
    sample_plan,
    thresholds,
)
from analytics.life.weibull.information import Information
from analytics.life.weibull.power_curve import PowerCurve
from analytics.life.weibull.region import Region, extremes, likelihood_region
from analytics.life.weibull.solver import MINIMUM_FAILURES, Solution

# With more failures the normal distribution of the logs serves for draws.
PLANNED_TO, PLANNED_LIVES = 60, 20_000

IntervalMethod = Literal["calibrated", "likelihood_ratio", "wald_log"]


def checked_method(method: str) -> IntervalMethod:
    """Return the method if it is one of the three.

    Raises
    ------
    InvalidSample
        Otherwise.
    """
    for known in get_args(IntervalMethod):
        if method == known:
            return known  # type: ignore[no-any-return]
    raise InvalidSample(f"No interval method is called {method!r}.")


@dataclass(frozen=True, slots=True, eq=False)
class WeibullLimits:
    """Finds limits of shape, ages and hazards for one fitted sample.

    Logs are used throughout: the log of an age, the log of a cumulative
    hazard. Ages are in the unit of the sample.
    """

    curve: PowerCurve
    solution: Solution
    information: Information
    confidence: float
    method: IntervalMethod
    simulated: Thresholds | None
    plan: Plan | None
    _regions: dict[float, Region] = field(default_factory=dict, repr=False)

    @property
    def shape(self) -> float:
        """Fitted shape."""
        return float(self.solution.shape[0])

    @property
    def log_scale(self) -> float:
        """Log of the fitted scale."""
        return float(self.solution.log_scale[0] + self.curve.exact.log_reference[0])

    def interval(self, low: float, high: float) -> Interval:
        """Wrap two limits with confidence and method."""
        method: str = self.method
        if method == "calibrated" and self.simulated is None:
            method = "likelihood_ratio"
        if self.information.robust is not None:
            method += ", clustered by position"
        return Interval(low, high, self.confidence, method)

    def shape_limits(self) -> tuple[float, float]:
        """Return the limits of the shape."""
        gradient = np.array([1.0, 0.0])
        if self.method == "wald_log":
            low, high = self._wald(np.log(self.shape), gradient)
            return float(np.exp(low)), float(np.exp(high))
        base = self._chi_square if self.simulated is None else self.simulated.shape
        region = self._region(
            base * self.information.inflation(gradient, self.confidence)
        )
        return float(region.shape_low[0]), float(region.shape_high[0])

    def log_age_limits(self, log_hazard: float) -> tuple[float, float]:
        """Return the limits of the log age with a given log hazard."""
        gradient = np.array([-log_hazard / self.shape, 1.0])
        if self.method == "wald_log":
            return self._wald(log_hazard / self.shape + self.log_scale, gradient)
        region = self._region(self._threshold(log_hazard, gradient))
        low, high = region.log_age_limits(log_hazard)
        reference = self.curve.exact.log_reference[0]
        return float(low[0] + reference), float(high[0] + reference)

    def log_hazard_limits(self, log_ages: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Return the limits of the log hazard at each of these log ages."""
        log_hazards = self.shape * (log_ages - self.log_scale)
        gradients = [np.array([hazard, -self.shape]) for hazard in log_hazards]
        both = list(zip(log_hazards, gradients, strict=True))
        if self.method == "wald_log":
            pairs = [self._wald(hazard, gradient) for hazard, gradient in both]
            low, high = np.array(pairs).reshape(-1, 2).T
            return low, high
        keys = [self._key(self._threshold(*one)) for one in both]
        self._follow(set(keys))
        relative = log_ages - self.curve.exact.log_reference[0]
        found = [
            self._regions[key].log_hazard_limits(age)
            for key, age in zip(keys, relative, strict=True)
        ]
        low, high = np.array(found).reshape(-1, 2).T
        return low, high

    def log_gain_limits(self, age: float, horizon: float) -> tuple[float, float]:
        """Return the limits of the log hazard gained from `age` over `horizon`."""
        log_to = float(np.log(age + horizon))
        # ln(t**k - e**k) = k ln t + ln(1 - exp(k back)): neither a large power
        # nor a short horizon spoils it.
        back = -float(np.log1p(horizon / age)) if age > 0.0 else -np.inf
        z_to = self.shape * (log_to - self.log_scale)
        kept, share = np.exp(self.shape * back), -np.expm1(self.shape * back)
        drift = self.shape * back * kept / share if age > 0.0 else 0.0
        gradient = np.array([z_to - drift, -self.shape])
        if self.method == "wald_log":
            return self._wald(z_to + float(np.log(share)), gradient)
        region = self._region(self._threshold(z_to, gradient))
        forward = region.log_rate + region.shape * (
            log_to - self.curve.exact.log_reference
        )
        low, high = extremes(forward + np.log(-np.expm1(region.shape * back)))
        return float(low[0]), float(high[0])

    def log_mean_limits(self) -> tuple[float, float]:
        """Return the limits of the log of the mean life."""
        inverse = 1.0 / self.shape
        reach = float(special.gammaln(1.0 + inverse))
        drift = -inverse * float(special.digamma(1.0 + inverse))
        gradient = np.array([drift, 1.0])
        if self.method == "wald_log":
            return self._wald(self.log_scale + reach, gradient)
        # The mean is an age whose hazard depends on the shape a little only.
        region = self._region(self._threshold(self.shape * reach, gradient))
        if region.open_low[0]:
            return -np.inf, np.inf
        loop = special.gammaln(1.0 + 1.0 / region.shape)
        low, high = extremes(loop - region.log_rate / region.shape)
        reference = self.curve.exact.log_reference[0]
        return float(low[0] + reference), float(high[0] + reference)

    def _threshold(self, log_hazard: float, gradient: FloatArray) -> float:
        base = self._chi_square
        if self.simulated is not None:
            base = float(self.simulated.at(np.clip(log_hazard, KNOTS[0], KNOTS[-1])))
        return base * self.information.inflation(gradient, self.confidence)

    @property
    def _chi_square(self) -> float:
        return float(special.chdtri(1.0, 1.0 - self.confidence))

    def _region(self, threshold: float) -> Region:
        key = self._key(threshold)
        self._follow({key})
        return self._regions[key]

    def _key(self, threshold: float) -> float:
        # Neighbouring ages share a region: the limits move by less than 1e-3
        # of their width.
        if self.simulated is None and self.information.robust is None:
            return threshold
        return float(np.round(threshold, 2))

    def _follow(self, keys: Collection[float]) -> None:
        """Follow the edges of all regions not known yet, at once."""
        missing = sorted(set(keys) - set(self._regions))
        if not missing:
            return
        regions = likelihood_region(
            self.curve,
            self.solution.chosen(np.zeros(len(missing), dtype=np.int64)),
            0.5 * np.array(missing),
        )
        self._regions.update(zip(missing, regions.single(), strict=True))

    def _wald(self, centre: float, gradient: FloatArray) -> tuple[float, float]:
        normal = float(special.ndtri(0.5 + 0.5 * self.confidence))
        reach = normal * np.sqrt(self.information.variance(gradient, self.confidence))
        return float(centre - reach), float(centre + reach)


def simulated_thresholds(
    plan: Plan | None, failures: int, confidence: float
) -> Thresholds | None:
    """Return simulated thresholds, or None where the chi-square serves."""
    if plan is None or failures >= CALIBRATED_BELOW:
        return None
    return thresholds(plan, confidence, MINIMUM_FAILURES)


def few_failures_plan(data: LifeData, shape: float, log_scale: float) -> Plan | None:
    """Return the plan of a sample with few failures, None for a large one."""
    large = data.failures > PLANNED_TO or data.n > PLANNED_LIVES
    if large and data.failures >= CALIBRATED_BELOW:
        return None
    return sample_plan(data, shape, log_scale)
