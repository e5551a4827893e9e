"""Event histories of repairable units, checked once for every statistic."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from analytics.life.arrays import FloatArray, as_numbers, positive_number
from analytics.life.errors import InvalidSample

Truncation = Literal["time", "failure"]


@dataclass(frozen=True, slots=True, init=False, eq=False)
class History:
    """Events of one unit while it was watched.

    Parameters
    ----------
    events : array_like of float
        Ages at the events, above `start` and not beyond `end`; may be empty.
    end : float
        Age when watching ended, above zero.
    start : float, default 0
        Age when watching began.

    Raises
    ------
    InvalidSample
        If an event lies outside the time watched or a number is missing.
    """

    events: FloatArray
    end: float
    start: float

    def __init__(self, events: ArrayLike, end: float, start: float = 0.0) -> None:
        ages = np.sort(as_numbers(events, "event times"))
        last = positive_number(end, "end of watching")
        if not (np.isfinite(start) and 0.0 <= start < last):
            raise InvalidSample(
                "Watching must begin at zero or later and before its end."
            )
        if ages.size and (ages[0] <= start or ages[-1] > last):
            raise InvalidSample("An event lies outside the time its unit was watched.")
        ages.setflags(write=False)
        for name, value in (("events", ages), ("end", last), ("start", float(start))):
            object.__setattr__(self, name, value)


HistoryLike = History | tuple[Sequence[float], float]


def as_histories(histories: Iterable[HistoryLike]) -> list[History]:
    """Return checked histories; a pair of events and end will do for one.

    Raises
    ------
    InvalidSample
        If there is none, or one is neither a history nor such a pair.
    """
    checked = [_as_history(history) for history in histories]
    if not checked:
        raise InvalidSample("There is no unit to look at.")
    return checked


def systems(
    event_times: ArrayLike | Sequence[ArrayLike],
    end: ArrayLike | None,
    truncation: Truncation,
) -> list[History]:
    """Return one history for each system from the loose arguments of a test.

    Parameters
    ----------
    event_times : sequence of float, or one such sequence for each system
        Ages at events.
    end : float, one float for each system, or None
        Age when watching ended; None with "failure": the last event.
    truncation : {"time", "failure"}
        How watching ended; "failure" is for one system only.

    Raises
    ------
    InvalidSample
        If the arguments do not belong together.
    """
    if truncation not in ("time", "failure"):
        raise InvalidSample(f"No truncation is called {truncation!r}.")
    if end is None or np.ndim(end) == 0:
        events = as_numbers(event_times, "event times")
        if truncation == "failure":
            return [_ended_by_failure(events, end)]
        if end is None:
            raise InvalidSample("The end of watching is missing.")
        return [History(events, float(np.asarray(end)))]
    if truncation == "failure":
        raise InvalidSample("Several systems must all be watched to set times.")
    ends = as_numbers(end, "ends of watching")
    lists = list(event_times)  # type: ignore[arg-type]
    if len(lists) != ends.size:
        raise InvalidSample(f"There are {len(lists)} systems but {ends.size} ends.")
    return as_histories(
        History(events, float(last)) for events, last in zip(lists, ends, strict=True)
    )


def _as_history(history: HistoryLike) -> History:
    if isinstance(history, History):
        return history
    try:
        events, end = history
    except (TypeError, ValueError):
        raise InvalidSample("A history is a pair of events and end.") from None
    return History(events, end)


def _ended_by_failure(events: FloatArray, end: ArrayLike | None) -> History:
    if events.size == 0:
        raise InvalidSample("A test that ends with a failure has at least one.")
    last = float(events.max())
    if end is not None and float(np.asarray(end)) != last:
        raise InvalidSample("A test that ends with a failure ends at the last event.")
    return History(events, last)
