"""Mean time between events at a constant rate, with exact limits."""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from scipy import special

from analytics.life.arrays import checked_confidence, event_count, positive_number
from analytics.life.errors import InvalidSample
from analytics.life.results import Interval

Truncation = Literal["time", "failure"]
Sided = Literal["two", "lower"]


@dataclass(frozen=True, slots=True)
class MtbfResult:
    """Mean time between events.

    Parameters
    ----------
    estimate : float or None
        Exposure per event, in the unit of the exposure; None without events.
    interval : Interval
        `high` is infinite without events or when only a lower limit is asked.
    exposure : float
        As given.
    events : int
        As given.
    """

    estimate: float | None
    interval: Interval
    exposure: float
    events: int


def mtbf_interval(
    exposure: float,
    events: int,
    confidence: float = 0.90,
    truncation: Truncation = "time",
    sided: Sided = "two",
) -> MtbfResult:
    """Estimate the mean time between events with its interval.

    Parameters
    ----------
    exposure : float
        Total time watched, over all pumps, above zero, any unit.
    events : int
        Events in that time, zero or more.
    confidence : float, default 0.90
        Between 0 and 1, exclusive.
    truncation : {"time", "failure"}
        Whether watching ended at a set time or with an event.
    sided : {"two", "lower"}
        "lower" puts the whole error below the single limit.

    Returns
    -------
    MtbfResult

    Raises
    ------
    InvalidSample
        If a number is out of range, or "failure" is claimed without events.

    Notes
    -----
    2 T / chi-square, with 2 r + 2 degrees for the lower limit (2 r if watching
    ended with an event) and 2 r for the upper one.

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, section 8.4.5.1.
    """
    total = positive_number(exposure, "exposure")
    count = event_count(events, "number of events")
    confidence = checked_confidence(confidence)
    if truncation not in ("time", "failure"):
        raise InvalidSample(f"No truncation is called {truncation!r}.")
    if sided not in ("two", "lower"):
        raise InvalidSample(f"No kind of limit is called {sided!r}.")
    if truncation == "failure" and count == 0:
        raise InvalidSample("A test that ends with a failure has at least one.")
    tail = 1.0 - confidence if sided == "lower" else 0.5 * (1.0 - confidence)
    extra = 1 if truncation == "time" else 0
    low = 2.0 * total / float(special.chdtri(2.0 * (count + extra), tail))
    high = np.inf
    if count and sided == "two":
        high = 2.0 * total / float(special.chdtri(2.0 * count, 1.0 - tail))
    method = f"exact chi-square, {truncation} truncated"
    if sided == "lower":
        method += ", lower limit only"
    return MtbfResult(
        estimate=total / count if count else None,
        interval=Interval(low, high, confidence, method),
        exposure=total,
        events=count,
    )
