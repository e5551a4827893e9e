"""Power-law process: events of repairable systems that speed up or slow down."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy import optimize

from analytics.life.arrays import FloatArray, checked_confidence
from analytics.life.errors import NoSpread, TooFewFailures
from analytics.life.recurrence.growth_limits import (
    cramer_von_mises,
    fit_statistics,
)
from analytics.life.recurrence.histories import History, Truncation, systems
from analytics.life.recurrence.power_law_limits import (
    crow_limits,
    exact_by_counts,
    shape_limits_and_factors,
)
from analytics.life.results import Interval

MINIMUM_EVENTS = 3
MINIMUM_FREE = 2
# Several systems ended by events: normal limits serve from here on.
SURE_EVENTS = 30


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
    warnings : tuple of str
        Doubts, in sentences.
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
    warnings: tuple[str, ...] = ()

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
        Age when watching ended, one number for all or each its own; may be
        left out with "failure".
    truncation : {"time", "failure"}
        Whether watching ended at a set age or, for each system, with an event.
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
        Below three events, or below two besides those that ended a system.
    NoSpread
        If every event falls on the end of watching.

    Notes
    -----
    With equal ends the shape is events / sum of ln(end / time) and all limits
    are exact; with unequal ends it is the root of the likelihood equation and
    the limits come from the likelihood ratio and a normal approximation of
    the log intensity. Where each of several systems ended with an event, the
    limits of the shape are exact given the ends. The distribution of the
    Cramer-von Mises distance is simulated, for more than 400 events with 400.

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
    free = int(logs.size) - (len(histories) if truncation == "failure" else 0)
    if free < MINIMUM_FREE:
        raise TooFewFailures(
            f"A power law needs at least {MINIMUM_FREE} events besides those that "
            f"ended a system; there {'is' if free == 1 else 'are'} {free}."
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
    unbiased = shape * (events - 1) / events
    if truncation == "failure":
        unbiased = (events - ends.size - 1) / float(logs.sum())
    power = float(((ends / last) ** shape).sum())
    mtbf = last * power / (events * shape)
    shape_limits, factors = shape_limits_and_factors(
        ends, histories, shape, truncation, confidence
    )
    exact = exact_by_counts(ends, truncation)
    method = "exact" if exact else "normal, of the logarithm"
    distance, p_value = _goodness(logs, ends.size if truncation == "failure" else 0)
    mtbf_unbiased = mtbf * shape / unbiased
    return PowerLawFit(
        shape=shape,
        shape_unbiased=unbiased,
        scale=events / power * last**-shape,
        intensity_now=1.0 / mtbf,
        mtbf_now=mtbf,
        shape_interval=shape_limits,
        mtbf_interval=Interval(
            mtbf * factors[0], mtbf * factors[1], confidence, method
        ),
        mtbf_unbiased=mtbf_unbiased,
        mtbf_interval_approximate=crow_limits(mtbf_unbiased, events, confidence),
        cramer_von_mises=distance,
        fit_p_value=p_value,
        events=events,
        systems=ends.size,
        truncation=truncation,
        warnings=() if exact or truncation == "time" else _few_events(events),
    )


def _few_events(events: int) -> tuple[str, ...]:
    """Warn where simulated coverage of the present MTBF is below 87 %."""
    if events >= SURE_EVENTS:
        return ()
    return (
        f"With {events} events the limits of the present time between events are a "
        "little too narrow: they cover less often than stated.",
    )


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


def _goodness(logs: FloatArray, enders: int) -> tuple[float, float]:
    """Judge the fit by the events that were free to fall anywhere."""
    used = np.sort(logs)[enders:]
    shape = (used.size - 1.0) / float(used.sum())
    distance = float(cramer_von_mises(np.sort(np.exp(-shape * used))))
    null = fit_statistics(used.size)
    beyond = null.size - int(np.searchsorted(null, distance, "left"))
    return distance, (beyond + 1.0) / (null.size + 1.0)
