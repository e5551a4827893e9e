"""Repairs that belong to one event: rework merged into what it reworks."""

import numpy as np

from analytics.exposure import Flags, Ints


def first_of_event(
    units: Ints, days: Ints, back_days: Ints, window_days: Ints
) -> Flags:
    """Whether each repair opens an event; the others are rework of one.

    Rows are in order of time. A repair of the same unit within `window_days` of
    the hand-back of the repair that opened its event is rework. The window is
    counted from that first repair and not from the last one: a pump that comes
    back every second month must not melt into a single event.
    """
    opens = np.zeros(units.size, dtype=bool)
    if not units.size:
        return opens
    order = np.argsort(units, kind="stable")
    units, since = units[order], days.min()
    until = np.maximum(days, back_days)[order] + window_days[order] - since
    # One rising number for unit and day. A day that falls back, where a pump moved to
    # another zone, is read as the day before it: it opens nothing either way.
    span = max(int(until.max()), int(days.max() - since)) + 2
    moment = np.maximum.accumulate(units * span + days[order] - since)
    after = units * span + until
    begins = np.flatnonzero(np.diff(units, prepend=units[0] - 1))
    ends = np.append(begins[1:], units.size)
    # The next event of every unit at once, until none has any left.
    while begins.size:
        opens[order[begins]] = True
        begins = np.searchsorted(moment, after[begins], side="right")
        left = begins < ends
        begins, ends = begins[left], ends[left]
    return opens
