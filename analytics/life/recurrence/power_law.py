"""Power-law process: events of repairable systems that speed up or slow down."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy import optimize, special

from analytics.life.arrays import FloatArray, checked_confidence
from analytics.life.errors import NoSpread, TooFewFailures
from analytics.life.recurrence.growth_limits import (
    cramer_von_mises,
    failure_ended_factors,
    fit_statistics,
    time_ended_factors,
)
from analytics.life.recurrence.histories import History, Truncation, systems
from analytics.life.results import Interval

MINIMUM_EVENTS = 3


@dataclass(frozen=True, slots=True)
class PowerLawFit:
    """Fitted process: scale * age ** shape events are expected per system.

    Parameters
    ----------
    shape : float
        Maximum likelihood; below one the events slow down.
    shape_unbiased : float
        Corrected for the bias of few events.
    scale : float
        Expected events per system up to age one.
    intensity_now, mtbf_now : float
        Event rate per system at the end of watching (the greatest end), and
        one over it.
    shape_interval, mtbf_interval : Interval
        Limits at `confidence`.
    mtbf_unbiased : float
        Present time between events with the corrected shape.
    mtbf_interval_approximate : Interval
        Normal approximation around `mtbf_unbiased`, as printed in handbooks.
    cramer_von_mises, fit_p_value : float
        Distance of the events from the fitted process, and the chance of a
        distance as large if the process is true.
    events, systems : int
        Sample.
    truncation : {"time", "failure"}
        As given.
    """

    shape: float
    shape_unbiased: float
    scale: float
    intensity_now: float
    mtbf_now: float
    shape_interval: Interval
    mtbf_interval: Interval
    mtbf_unbiased: float
    mtbf_interval_approximate: Interval
    cramer_von_mises: float
    fit_p_value: float
    events: int
    systems: int
    truncation: Truncation

    def expected_events(self, age: float) -> float:
        """Return the expected events of one system up to an age."""
        return float(self.scale * age**self.shape)


def power_law_fit(
    event_times: ArrayLike | Sequence[ArrayLike],
    end: ArrayLike | None = None,
    truncation: Truncation = "time",
    confidence: float = 0.90,
) -> PowerLawFit:
    """Fit a power-law process to the events of one or several systems.

    Parameters
    ----------
    event_times : sequence of float, or one such sequence for each system
        Ages at events, above zero; every system watched from age zero.
    end : float, or one for each system, optional
        Age when watching ended; may be left out with "failure".
    truncation : {"time", "failure"}
        Whether watching ended at a set age or, for one system, with an event.
    confidence : float, default 0.90
        Two-sided, between 0 and 1, exclusive.

    Returns
    -------
    PowerLawFit

    Raises
    ------
    InvalidSample
        If an event lies outside the time watched or a setting is unknown.
    TooFewFailures
        Below three events.
    NoSpread
        If every event falls on the end of watching.

    Notes
    -----
    With equal ends the shape is events / sum of ln(end / time) and all limits
    are exact; with unequal ends it is the root of the likelihood equation and
    the limits come from the likelihood ratio and a normal approximation of
    the log intensity.

    References
    ----------
    .. [1] Crow, L. H., Reliability analysis for complex, repairable systems,
       in Reliability and Biometry, SIAM, 1974, 379-410; from memory.
    .. [2] NIST/SEMATECH e-Handbook of Statistical Methods, section 8.4.5.2.
    """
    confidence = checked_confidence(confidence)
    histories = systems(event_times, end, truncation)
    ends = np.array([history.end for history in histories])
    logs = np.concatenate([np.log(h.end / h.events) for h in histories])
    if logs.size < MINIMUM_EVENTS:
        raise TooFewFailures(
            f"A power law needs at least {MINIMUM_EVENTS} events; "
            f"there {'is' if logs.size == 1 else 'are'} {logs.size}."
        )
    if logs.sum() == 0.0:
        raise NoSpread("Every event falls on the end of watching.")
    equal = bool((ends == ends[0]).all())
    shape = logs.size / float(logs.sum())
    if not equal:
        shape = _pooled_shape(histories, ends)
    return _fit(histories, ends, logs, shape, truncation, confidence)


def _fit(
    histories: list[History],
    ends: FloatArray,
    logs: FloatArray,
    shape: float,
    truncation: Truncation,
    confidence: float,
) -> PowerLawFit:
    events, last = int(logs.size), float(ends.max())
    lost = 2 if truncation == "failure" else 1
    unbiased = shape * (events - lost) / events
    power = float(((ends / last) ** shape).sum())
    mtbf = last * power / (events * shape)
    shape_limits, factors = _limits(ends, histories, shape, truncation, confidence)
    distance, p_value = _goodness(logs, truncation)
    mtbf_unbiased = mtbf * shape / unbiased
    return PowerLawFit(
        shape=shape,
        shape_unbiased=unbiased,
        scale=events / power * last**-shape,
        intensity_now=1.0 / mtbf,
        mtbf_now=mtbf,
        shape_interval=shape_limits,
        mtbf_interval=Interval(
            mtbf * factors[0],
            mtbf * factors[1],
            confidence,
            "exact" if shape_limits.method == "exact" else "normal, of the logarithm",
        ),
        mtbf_unbiased=mtbf_unbiased,
        mtbf_interval_approximate=_approximate(mtbf_unbiased, events, confidence),
        cramer_von_mises=distance,
        fit_p_value=p_value,
        events=events,
        systems=ends.size,
        truncation=truncation,
    )


def _limits(
    ends: FloatArray,
    histories: list[History],
    shape: float,
    truncation: Truncation,
    confidence: float,
) -> tuple[Interval, tuple[float, float]]:
    """Limits of the shape, and factors from present MTBF to its limits."""
    events = sum(history.events.size for history in histories)
    if (ends == ends[0]).all():
        half = 0.5 * (1.0 - confidence)
        freedom = 2.0 * (events - 1 if truncation == "failure" else events)
        low, high = (
            shape * float(special.chdtri(freedom, tail)) / (2.0 * events)
            for tail in (1.0 - half, half)
        )
        ended = time_ended_factors if truncation == "time" else failure_ended_factors
        return Interval(low, high, confidence, "exact"), ended(events, confidence)
    drop = 0.5 * float(special.chdtri(1.0, 1.0 - confidence))
    best = _profile(histories, ends, shape)

    def excess(k: float) -> float:
        return _profile(histories, ends, k) - best + drop

    interval = Interval(
        float(optimize.brentq(excess, shape * 1e-3, shape)),
        float(optimize.brentq(excess, shape, shape * 1e3)),
        confidence,
        "likelihood ratio",
    )
    reach = _log_intensity_error(ends, shape, events)
    reach *= float(special.ndtri(0.5 + 0.5 * confidence))
    return interval, (float(np.exp(-reach)), float(np.exp(reach)))


def _pooled_shape(histories: list[History], ends: FloatArray) -> float:
    """Root of the likelihood equation for systems watched to unequal ages."""
    events = np.concatenate([history.events for history in histories])
    last = ends.max()
    times, log_ends = np.log(events / last), np.log(ends / last)

    def score(shape: float) -> float:
        powers = np.exp(shape * log_ends)
        drift = float((powers * log_ends).sum() / powers.sum())
        return float(events.size) / shape + float(times.sum()) - events.size * drift

    low = high = events.size / -float(times.sum()) if times.any() else 1.0
    while score(low) < 0.0:
        low *= 0.5
    while score(high) > 0.0:
        high *= 2.0
        if high > 1e9:
            raise NoSpread("Every event falls on the end of watching.")
    return float(optimize.brentq(score, low, high, xtol=1e-300, rtol=1e-13))


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


def _goodness(logs: FloatArray, truncation: Truncation) -> tuple[float, float]:
    used = np.sort(logs)[1:] if truncation == "failure" else logs
    shape = (used.size - 1.0) / float(used.sum())
    distance = float(cramer_von_mises(np.sort(np.exp(-shape * used))))
    null = fit_statistics(used.size)
    beyond = null.size - int(np.searchsorted(null, distance, "left"))
    return distance, (beyond + 1.0) / (null.size + 1.0)


def _approximate(mtbf: float, events: int, confidence: float) -> Interval:
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
