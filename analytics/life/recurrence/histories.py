"""Event histories of repairable units, checked once for every statistic."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from analytics.life.arrays import FloatArray, as_numbers, positive_number, zero_or_more
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
        first = zero_or_more(start, "beginning of watching")
        if first >= last:
            raise InvalidSample("Watching must begin before its end.")
        if ages.size and (ages[0] <= first or ages[-1] > last):
            raise InvalidSample("An event lies outside the time its unit was watched.")
        ages.setflags(write=False)
        for name, value in (("events", ages), ("end", last), ("start", first)):
            object.__setattr__(self, name, value)


HistoryLike = (
    History | tuple[Sequence[float], float] | tuple[Sequence[float], float, float]
)


def as_histories(histories: Iterable[HistoryLike]) -> list[History]:
    """Return checked histories; events and end (and start) will do for one.

    Raises
    ------
    InvalidSample
        If there is none, or one is neither a history nor such a tuple.
    """
    try:
        checked = [_as_history(history) for history in histories]
    except TypeError:
        raise InvalidSample("The histories are not a list.") from None
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
        Age when watching ended, one for all or each its own; None with
        "failure": the last event.
    truncation : {"time", "failure"}
        How watching ended; with "failure" every system ends at its last event.

    Raises
    ------
    InvalidSample
        If the arguments do not belong together.
    """
    if truncation not in ("time", "failure"):
        raise InvalidSample(f"No truncation is called {truncation!r}.")
    lists = _lists(event_times)
    if end is None and truncation == "time":
        raise InvalidSample("The end of watching is missing.")
    ends = [None] * len(lists) if end is None else _ends(end, len(lists))
    made = _ended_by_failure if truncation == "failure" else History
    return [made(events, last) for events, last in zip(lists, ends, strict=True)]  # type: ignore[arg-type]


def _lists(event_times: ArrayLike | Sequence[ArrayLike]) -> list[ArrayLike]:
    """Return one list of events for each system; a plain list is one system."""
    try:
        members = list(event_times)  # type: ignore[arg-type]
    except TypeError:
        raise InvalidSample("The event times are not one plain list.") from None
    if any(hasattr(one, "__iter__") and not isinstance(one, str) for one in members):
        return members
    return [as_numbers(members, "event times")]


def _ends(end: ArrayLike, number: int) -> list[float]:
    """Return the end of each system; one number serves for all."""
    if not hasattr(end, "__iter__") or getattr(end, "ndim", 1) == 0:
        return [positive_number(end, "end of watching")] * number  # type: ignore[arg-type]
    ends = as_numbers(end, "ends of watching")
    if ends.size == 0:
        raise InvalidSample("There is no unit to look at.")
    if ends.size != number:
        raise InvalidSample(
            f"There {'is 1 system' if number == 1 else f'are {number} systems'} "
            f"but {ends.size} ends."
        )
    return [float(last) for last in ends]


def _as_history(history: HistoryLike) -> History:
    if isinstance(history, History):
        return history
    try:
        events, end, *start = history
    except (TypeError, ValueError):
        raise InvalidSample("A history is a pair of events and end.") from None
    if len(start) > 1:
        raise InvalidSample("A history is a pair of events and end.")
    return History(events, end, *start)


def _ended_by_failure(event_times: ArrayLike, end: float | None) -> History:
    events = as_numbers(event_times, "event times")
    if events.size == 0:
        raise InvalidSample("A test that ends with a failure has at least one.")
    last = float(events.max())
    if end is not None and end != last:
        raise InvalidSample("A test that ends with a failure ends at the last event.")
    return History(events, last)
