"""Repairs that belong to one event: rework merged into what it reworks."""

from collections.abc import Iterable

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
    opened_until: dict[int, int] = {}
    opens = []
    untils = np.maximum(days, back_days) + window_days
    rows: Iterable[tuple[int, int, int]] = zip(
        units.tolist(), days.tolist(), untils.tolist(), strict=True
    )
    for unit, day, until in rows:
        is_first = day > opened_until.get(unit, -1)
        if is_first:
            opened_until[unit] = until
        opens.append(is_first)
    return np.array(opens, dtype=bool)
