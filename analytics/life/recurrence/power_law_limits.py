"""Limits of the shape and the present time between events of a power law."""

import numpy as np
from scipy import optimize, special

from analytics.life.arrays import FloatArray
from analytics.life.recurrence.growth_limits import (
    failure_ended_factors,
    time_ended_factors,
)
from analytics.life.recurrence.histories import History, Truncation
from analytics.life.results import Interval


def shape_limits_and_factors(
    ends: FloatArray,
    histories: list[History],
    shape: float,
    truncation: Truncation,
    confidence: float,
) -> tuple[Interval, tuple[float, float]]:
    """Limits of the shape, and factors from present MTBF to its limits."""
    events = sum(history.events.size for history in histories)
    if exact_by_counts(ends, truncation):
        return _exact_shape(histories, truncation, confidence), (
            failure_ended_factors if truncation == "failure" else time_ended_factors
        )(events, confidence)
    reach = _log_intensity_error(ends, shape, events)
    reach *= float(special.ndtri(0.5 + 0.5 * confidence))
    factors = float(np.exp(-reach)), float(np.exp(reach))
    if truncation == "failure":
        return _exact_shape(histories, truncation, confidence), factors
    return _ratio_limits(ends, histories, shape, confidence), factors


def exact_by_counts(ends: FloatArray, truncation: Truncation) -> bool:
    """Tell whether the limits of the present time between events are exact."""
    return ends.size == 1 or (truncation == "time" and bool((ends == ends[0]).all()))


def _exact_shape(
    histories: list[History], truncation: Truncation, confidence: float
) -> Interval:
    """Twice shape times the sum of ln(end / time) is chi-square."""
    total = sum(float(np.log(h.end / h.events).sum()) for h in histories)
    free = sum(h.events.size - (truncation == "failure") for h in histories)
    half = 0.5 * (1.0 - confidence)
    low, high = (
        float(special.chdtri(2.0 * free, tail)) / (2.0 * total)
        for tail in (1.0 - half, half)
    )
    return Interval(low, high, confidence, "exact")


def _ratio_limits(
    ends: FloatArray, histories: list[History], shape: float, confidence: float
) -> Interval:
    """Limits of the shape by the likelihood ratio."""
    drop = 0.5 * float(special.chdtri(1.0, 1.0 - confidence))
    best = _profile(histories, ends, shape)

    def excess(k: float) -> float:
        return _profile(histories, ends, k) - best + drop

    return Interval(
        float(optimize.brentq(excess, shape * 1e-3, shape)),
        float(optimize.brentq(excess, shape, shape * 1e3)),
        confidence,
        "likelihood ratio",
    )


def _profile(histories: list[History], ends: FloatArray, shape: float) -> float:
    """Log-likelihood with the scale at its best, less a constant."""
    events = np.concatenate([history.events for history in histories])
    last = ends.max()
    power = float(((ends / last) ** shape).sum())
    logs = float(np.log(events / last).sum())
    return events.size * float(np.log(shape) - np.log(power)) + shape * logs


def _log_intensity_error(ends: FloatArray, shape: float, events: int) -> float:
    """Return the standard error of the log intensity at the greatest end."""
    logs = np.log(ends / ends.max())
    weights = (ends / ends.max()) ** shape
    weights = events * weights / weights.sum()
    # Information on the log scale and the shape, ages relative to the last end.
    information = np.array(
        [
            [weights.sum(), weights @ logs],
            [weights @ logs, events / shape**2 + weights @ logs**2],
        ]
    )
    gradient = np.array([1.0, 1.0 / shape])
    return float(np.sqrt(gradient @ np.linalg.solve(information, gradient)))


def crow_limits(mtbf: float, events: int, confidence: float) -> Interval:
    """Return Crow's normal limits as NIST prints them."""
    z = float(special.ndtri(0.5 + 0.5 * confidence))
    wide = events + z * z / 4.0 + np.sqrt(events * z * z / 2.0 + z**4 / 16.0)
    narrow = events - z * np.sqrt(0.5 * events)
    top = mtbf * events * (events - 1.0)
    return Interval(
        float(top / wide**2),
        float(top / narrow**2) if narrow > 0.0 else np.inf,
        confidence,
        "normal approximation",
    )
