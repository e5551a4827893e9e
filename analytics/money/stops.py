"""Stops of positions laid along time: what serves and what is down, and when.

Times are whole microseconds since 1970, so that hours are exact.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from analytics.money.errors import InvalidFigure

HOUR = 3_600_000_000

Ints = npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Fleet:
    """Positions, each row one; of a group in the order of their tags.

    Parameters
    ----------
    group : array of int
        The spare group of each position, any numbers.
    needed : array of int
        How many of its group must run; 0 where cover is assumed.
    serves_from, serves_until : array of int
        Time in service, microseconds; the end not included.
    buffer : array of int
        How long production goes on after a stop, microseconds.
    """

    group: Ints
    needed: Ints
    serves_from: Ints
    serves_until: Ints
    buffer: Ints


@dataclass(frozen=True, slots=True, eq=False)
class Stops:
    """Stoppages: row of the position, and time from the stop to the hand-back."""

    position: Ints
    start: Ints
    end: Ints


@dataclass(frozen=True, slots=True, eq=False)
class Downs:
    """Time in which a position was down, its overlapping stoppages made one."""

    position: Ints
    start: Ints
    end: Ints
    first: Ints
    """Place in `order` of the stoppage that took it down."""
    order: Ints
    """Rows of stoppages by position and time."""


@dataclass(frozen=True, slots=True, eq=False)
class Sweep:
    """Stretches of time between events, by group and time."""

    row: Ints
    """Place among all events, those at one moment each by itself."""
    group: Ints
    needed: Ints
    start: Ints
    end: Ints
    serving: Ints
    down: Ints
    begun: Ints
    """How many of the `Downs` have begun, counted from the first on."""
    stop_starts: Ints
    stop_ends: Ints


def in_service(fleet: Fleet, stops: Stops) -> Stops:
    """Cut stoppages to the time in service of their positions.

    Raises
    ------
    InvalidFigure
        If a stoppage or a time in service ends before it begins.
    """
    for spans in ((fleet.serves_from, fleet.serves_until), (stops.start, stops.end)):
        if (spans[0] > spans[1]).any():
            raise InvalidFigure("A stoppage or a time in service ends before it began.")
    low, high = (
        bound[stops.position] for bound in (fleet.serves_from, fleet.serves_until)
    )
    start, end = (np.clip(moment, low, high) for moment in (stops.start, stops.end))
    return Stops(stops.position, start, end)


def downs_of(fleet: Fleet, stops: Stops) -> Downs:
    """Make one of the stoppages of a position that overlap or touch.

    By group and beginning; of several at one moment the first by tag comes last.
    """
    order = np.lexsort((stops.start, stops.position))
    order = order[(stops.end > stops.start)[order]]
    position, start = stops.position[order], stops.start[order]
    reach = _latest_so_far(stops.end[order], position)
    is_new = np.ones(order.size, dtype=bool)
    is_new[1:] = (np.diff(position) != 0) | (start[1:] > reach[:-1])
    first = np.flatnonzero(is_new)
    last = np.append(first[1:], order.size)[: first.size] - 1
    by = np.lexsort((-position[first], start[first], fleet.group[position[first]]))
    first, last = first[by], last[by]
    return Downs(position[first], start[first], reach[last], first, order)


def _latest_so_far(ends: Ints, position: Ints) -> Ints:
    """Return the running maximum of the ends, anew for each position, ascending."""
    moments, rank = np.unique(ends, return_inverse=True)
    # Lifted by position, no rank of an earlier one reaches into the next.
    lift = position * max(moments.size, 1)
    return np.asarray(moments[np.maximum.accumulate(rank + lift) - lift])


def sweep_of(fleet: Fleet, downs: Downs, stops: Stops) -> Sweep:
    """Count what serves and what is down between any two events of a group."""
    every = np.arange(fleet.group.size)
    moments = (
        (every, fleet.serves_from, (1, 0, 0)),
        (every, fleet.serves_until, (-1, 0, 0)),
        (downs.position, downs.start, (0, 1, 1)),
        (downs.position, downs.end, (0, -1, 0)),
        (stops.position, stops.start, (0, 0, 0)),
        (stops.position, stops.end, (0, 0, 0)),
    )
    position, time = (np.concatenate([part[i] for part in moments]) for i in (0, 1))
    changes = np.repeat(
        [part[2] for part in moments], [len(part[0]) for part in moments], axis=0
    )
    group = fleet.group[position]
    order = np.lexsort((time, group))
    place = np.empty_like(order)
    place[order] = np.arange(order.size)
    time, group = time[order], group[order]
    row = np.flatnonzero((np.diff(time) > 0) & (np.diff(group) == 0))
    # Every group ends with nothing in service: one running sum does for all.
    serving, down, begun = np.cumsum(changes[order], axis=0)[row].T
    starts, ends = place[place.size - 2 * stops.start.size :].reshape(2, -1)
    return Sweep(
        *(row, group[row], fleet.needed[position[order[row]]]),
        *(time[row], time[row + 1], serving, down, begun, starts, ends),
    )
