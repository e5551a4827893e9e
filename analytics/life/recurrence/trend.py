"""Whether the events of repairable systems come faster or slower with age."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy import special

from analytics.life.arrays import FloatArray
from analytics.life.errors import TooFewFailures
from analytics.life.recurrence.histories import History, Truncation, systems


@dataclass(frozen=True, slots=True)
class TrendTest:
    """Test of a constant rate of events.

    Parameters
    ----------
    statistic : float
        Standard normal (Laplace) or chi-square (military handbook).
    degrees_of_freedom : int or None
        None for the normal statistic.
    p_value : float
        Two-sided.
    direction : {"worsening", "improving"}
        Which way the events lean, whether or not it is beyond chance.
    events : int
        Events that entered the test.
    """

    statistic: float
    degrees_of_freedom: int | None
    p_value: float
    direction: str
    events: int


def laplace_test(
    event_times: ArrayLike | Sequence[ArrayLike],
    end: ArrayLike | None = None,
    truncation: Truncation = "time",
) -> TrendTest:
    """Test for a trend by the centre of the event times.

    Parameters
    ----------
    event_times : sequence of float, or one such sequence for each system
        Ages at events, above zero.
    end : float, or one for each system, optional
        Age when watching ended; may be left out with "failure".
    truncation : {"time", "failure"}
        Whether watching ended at a set age or with an event.

    Returns
    -------
    TrendTest

    Raises
    ------
    InvalidSample
        If an event lies outside the time watched or a setting is unknown.
    TooFewFailures
        Below two events in the test.

    Notes
    -----
    Under a constant rate the times are even over 0..end; the statistic is
    their mean less the middle, over its standard error.

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, section 8.2.3.4.
    """
    used = _used(systems(event_times, end, truncation), truncation)
    centre = sum(float((times - 0.5 * last).sum()) for times, last in used)
    spread = np.sqrt(sum(times.size * last * last / 12.0 for times, last in used))
    statistic = centre / float(spread)
    return TrendTest(
        statistic=statistic,
        degrees_of_freedom=None,
        p_value=2.0 * float(special.ndtr(-abs(statistic))),
        direction="worsening" if statistic > 0.0 else "improving",
        events=sum(times.size for times, _ in used),
    )


def military_handbook_test(
    event_times: ArrayLike | Sequence[ArrayLike],
    end: ArrayLike | None = None,
    truncation: Truncation = "time",
) -> TrendTest:
    """Test for a trend that follows a power of age.

    Parameters
    ----------
    event_times, end, truncation
        As for `laplace_test`.

    Returns
    -------
    TrendTest

    Raises
    ------
    InvalidSample
        If an event lies outside the time watched or a setting is unknown.
    TooFewFailures
        Below two events in the test.

    Notes
    -----
    Twice the sum of ln(end / time) is chi-square with twice as many degrees
    as events under a constant rate; large values show improvement.

    References
    ----------
    .. [1] MIL-HDBK-189, 1981, appendix C; NIST/SEMATECH e-Handbook of
       Statistical Methods, section 8.2.3.4.
    """
    used = _used(systems(event_times, end, truncation), truncation)
    statistic = 2.0 * sum(float(np.log(last / times).sum()) for times, last in used)
    events = sum(times.size for times, _ in used)
    below = float(special.chdtr(2.0 * events, statistic))
    above = float(special.chdtrc(2.0 * events, statistic))
    return TrendTest(
        statistic=statistic,
        degrees_of_freedom=2 * events,
        p_value=min(1.0, 2.0 * min(below, above)),
        direction="worsening" if statistic < 2.0 * events else "improving",
        events=events,
    )


def _used(
    histories: list[History], truncation: Truncation
) -> list[tuple[FloatArray, float]]:
    """Return the events that are free to fall anywhere, with their end."""
    used = [(history.events, history.end) for history in histories]
    if truncation == "failure":
        used = [(times[:-1], last) for times, last in used]
    if sum(times.size for times, _ in used) < 2:
        raise TooFewFailures("A trend needs at least two events within the watch.")
    return used
