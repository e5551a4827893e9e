"""Time without production: stops of positions that nothing covered.

Times are whole microseconds since 1970, so that hours are exact. A position without
a spare is a group of its own that needs one. What an hour costs comes last.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from math import lcm

import numpy as np
import numpy.typing as npt

from analytics.money.errors import InvalidFigure
from analytics.money.stops import (
    HOUR,
    Downs,
    Fleet,
    Ints,
    Stops,
    downs_of,
    in_service,
    sweep_of,
)


@dataclass(frozen=True, slots=True, eq=False)
class Outages:
    """Stretches of time in which fewer ran than are needed, in order of group.

    Parameters
    ----------
    stop : array of int
        Row of the stoppage that bears the stretch.
    outage : array of int
        Number of the outage; its stretches follow each other without a gap.
    start, lost_from, end : array of int
        Microseconds; up to `lost_from` the buffer of the outage lasted.
    short, wanted : array of int
        How many of how many were missing.
    first, after : array of int
        For each stoppage the stretches that happened during it: from row `first`
        up to row `after`, which is not included.
    stops : Stops
        The stoppages cut to the time in service of their positions.
    """

    stop: Ints
    outage: Ints
    start: Ints
    lost_from: Ints
    end: Ints
    short: Ints
    wanted: Ints
    first: Ints
    after: Ints
    stops: Stops

    def entered(self, has_figure: npt.NDArray[np.bool_]) -> npt.NDArray[np.bool_]:
        """Whether a stretch is of an outage whose loss somebody entered.

        Parameters
        ----------
        has_figure : array of bool
            For each stoppage, whether its repair carries a figure.

        Returns
        -------
        array of bool
            One a stretch. An outage is one loss: a figure at any repair that was
            down in it stands for all of it.
        """
        edges = np.zeros(self.stop.size + 1, dtype=np.int64)
        np.add.at(edges, self.first[has_figure], 1)
        np.add.at(edges, self.after[has_figure], -1)
        marked = np.cumsum(edges)[:-1] > 0
        known = np.zeros(self.outage.max(initial=-1) + 1, dtype=bool)
        known[self.outage[marked]] = True
        return known[self.outage]


def outages(fleet: Fleet, stops: Stops) -> Outages:
    """Find when fewer ran than are needed, and which stoppage bears it.

    Parameters
    ----------
    fleet : Fleet
        All positions of the groups concerned.
    stops : Stops
        All their stoppages in the time looked at, and before it as far back as an
        outage may reach; in any order.

    Returns
    -------
    Outages

    Raises
    ------
    InvalidFigure
        If a stoppage or a time in service ends before it begins.

    Notes
    -----
    While `s` positions of a group are in service and `d` of them down, `wanted` is
    the smaller of the number needed and `s`, and `wanted - (s - d)` are missing.
    The position that went down last bears the stretch (of several at one moment
    the first by tag); at that position the stoppage that has been open longest.
    The buffer is that of the position that bears the beginning of an outage, and
    is taken off once.
    """
    stops = in_service(fleet, stops)
    downs = downs_of(fleet, stops)
    sweep = sweep_of(fleet, downs, stops)
    wanted = np.minimum(sweep.needed, sweep.serving)
    short = wanted - (sweep.serving - sweep.down)
    is_short = short > 0
    outage = _numbered(is_short, sweep.group)
    start, end, row = (part[is_short] for part in (sweep.start, sweep.end, sweep.row))
    bearing = _bearing(downs, sweep.begun[is_short] - 1, start)
    heads = np.flatnonzero(np.diff(outage, prepend=-1))
    spent = (start + fleet.buffer[downs.position[bearing]])[heads][outage]
    return Outages(
        stop=_open_longest(downs, stops, bearing, start),
        outage=outage,
        start=start,
        lost_from=np.clip(spent, start, end),
        end=end,
        short=short[is_short],
        wanted=wanted[is_short],
        first=np.searchsorted(row, sweep.stop_starts),
        after=np.searchsorted(row, sweep.stop_ends),
        stops=stops,
    )


def _numbered(is_short: npt.NDArray[np.bool_], group: Ints) -> Ints:
    """Stretches in a row are one outage."""
    before = np.zeros_like(is_short)
    before[1:] = is_short[:-1] & (np.diff(group) == 0)
    return np.asarray((np.cumsum(is_short & ~before) - 1)[is_short], dtype=np.int64)


def _bearing(downs: Downs, latest: Ints, time: Ints) -> Ints:
    """Of the positions down at a time the one that went down last."""
    latest = latest.copy()
    while (up := downs.end[latest] <= time).any():
        latest[up] -= 1
    return latest


def _open_longest(downs: Downs, stops: Stops, bearing: Ints, time: Ints) -> Ints:
    """Of the open stoppages at the bearing position the one that began first."""
    ends = stops.end[downs.order]
    longest = downs.first[bearing]
    while (over := ends[longest] <= time).any():
        longest = longest + over
    return np.asarray(downs.order[longest], dtype=np.int64)


def loss(
    parts: Iterable[tuple[int, int, int]], cost_per_hour: Decimal, share_lost: float
) -> Decimal:
    """Price of lost time, rounded once.

    Parameters
    ----------
    parts : iterable of (int, int, int)
        Microseconds lost, how many were missing, and of how many.
    cost_per_hour : Decimal
        What an hour costs in which all of them are missing.
    share_lost : float
        Part of it that a stop costs, 0 to 1, taken as the decimal it is written as.

    Returns
    -------
    Decimal
        In whole cents; half a cent is rounded up.

    Raises
    ------
    InvalidFigure
        If the cost is negative or the share outside 0 to 1.
    """
    if cost_per_hour < 0:
        raise InvalidFigure("The stopped cost per hour must be zero or more.")
    if not 0 <= share_lost <= 1:
        raise InvalidFigure("The share of output lost must lie between 0 and 1.")
    parts = list(parts)
    of = lcm(*(wanted for _, _, wanted in parts))
    lost = sum(time * short * (of // wanted) for time, short, wanted in parts)
    cost, per_cost = cost_per_hour.as_integer_ratio()
    share, per_share = Decimal(str(share_lost)).as_integer_ratio()
    cents, per = lost * cost * share * 100, of * HOUR * per_cost * per_share
    return Decimal((2 * cents + per) // (2 * per)).scaleb(-2)
