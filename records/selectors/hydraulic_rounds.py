"""Single readings laid together as rounds; a round becomes an object when asked for.

A large fleet has hundreds of thousands of readings, of which few pages need more than
some: the readings stay in arrays until a position is looked at.
"""

from bisect import bisect_left
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import numpy as np
import numpy.typing as npt

from records.reading_choices import Quantity
from records.selectors.moments import SECOND

ROUND = 3600 * SECOND
GRAVITY = 9.80665
PASCAL_PER_BAR = 1e5
QUANTITIES = (
    Quantity.FLOW,
    Quantity.HEAD,
    Quantity.SUCTION,
    Quantity.DISCHARGE,
    Quantity.POWER,
)
NO_PUMP = 0

Ints = npt.NDArray[np.int64]
Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class HydraulicRound:
    """What one round read; `values` are means where a quantity was read twice.

    `pump` is None where no pump was on record at the position then. Power is that at
    the motor's terminals; pressures are in bar.
    """

    position: int
    pump: int | None
    microseconds: int
    values: dict[str, float]
    is_whole: bool

    @property
    def read_at(self) -> datetime:
        return datetime.fromtimestamp(0, UTC) + timedelta(
            microseconds=self.microseconds
        )

    @property
    def flow_m3_h(self) -> float | None:
        return self.values.get(Quantity.FLOW)

    @property
    def motor_power_kw(self) -> float | None:
        return self.values.get(Quantity.POWER)

    @property
    def head_is_read(self) -> bool:
        return Quantity.HEAD in self.values

    def head_m(self, density_kg_m3: float | None) -> float | None:
        """Head as read, else discharge less suction pressure over the density.

        Without the velocity head and the height between the two gauges.
        """
        if self.head_is_read:
            return self.values[Quantity.HEAD]
        suction = self.values.get(Quantity.SUCTION)
        discharge = self.values.get(Quantity.DISCHARGE)
        if suction is None or discharge is None or not density_kg_m3:
            return None
        return (discharge - suction) * PASCAL_PER_BAR / (density_kg_m3 * GRAVITY)

    @property
    def missing(self) -> str:
        """What was not read, in words; empty where the round is whole."""
        found = {
            "flow": self.flow_m3_h is not None,
            "head": self.head_is_read
            or {Quantity.SUCTION, Quantity.DISCHARGE} <= self.values.keys(),
            "power": self.motor_power_kw is not None,
        }
        return " and ".join(name for name, is_read in found.items() if not is_read)


@dataclass(frozen=True, slots=True, eq=False)
class SingleReadings:
    """Readings in order of position and time, one row each.

    `pump` is NO_PUMP where none was on record, `quantity` a place in QUANTITIES,
    `microseconds` are since 1970.
    """

    position: Ints
    pump: Ints
    microseconds: Ints
    quantity: Ints
    value: Floats


class Rounds(Mapping[int, list[HydraulicRound]]):
    """Rounds of each position, oldest first."""

    def __init__(self, read: SingleReadings) -> None:
        first = _begins(read)
        means = _means(read, first)
        self._position: list[int] = read.position[first].tolist()
        self._pump: list[int] = read.pump[first].tolist()
        self._moment: list[int] = read.microseconds[first].tolist()
        self._means = means
        flow, head, suction, discharge, power = ~np.isnan(means.T)
        whole = flow & power & (head | (suction & discharge))
        self._whole: list[bool] = whole.tolist()
        self._positions = sorted(set(self._position))

    def __getitem__(self, position: int) -> list[HydraulicRound]:
        rows = self._rows(position)
        if not rows:
            raise KeyError(position)
        return [self._round(row) for row in rows]

    def __iter__(self) -> Iterator[int]:
        return iter(self._positions)

    def __len__(self) -> int:
        return len(self._positions)

    def with_whole(self) -> set[int]:
        """Positions with a whole round."""
        both = zip(self._position, self._whole, strict=True)
        return {position for position, is_whole in both if is_whole}

    def whole_of(
        self, position: int, *, pump: int, since: int = 0
    ) -> list[HydraulicRound]:
        """Whole rounds read at one pump from a moment on, in microseconds."""
        return [
            self._round(row)
            for row in self._rows(position)
            if self._pump[row] == pump
            and self._moment[row] >= since
            and self._whole[row]
        ]

    def _rows(self, position: int) -> range:
        return range(
            bisect_left(self._position, position),
            bisect_left(self._position, position + 1),
        )

    def _round(self, row: int) -> HydraulicRound:
        means = zip(QUANTITIES, self._means[row].tolist(), strict=True)
        return HydraulicRound(
            self._position[row],
            self._pump[row] or None,
            self._moment[row],
            # What was not read is not-a-number, which does not equal itself.
            {str(quantity): mean for quantity, mean in means if mean == mean},
            self._whole[row],
        )


def _begins(read: SingleReadings) -> Ints:
    """Rows with which a round begins: another pump, or an hour after its first."""
    size = read.position.size
    if not size:
        return np.empty(0, dtype=np.int64)
    new = np.ones(size, dtype=bool)
    new[1:] = (
        (np.diff(read.position) != 0)
        | (np.diff(read.pump) != 0)
        | (np.diff(read.microseconds) > ROUND)
    )
    first = np.flatnonzero(new)
    last = np.append(first[1:], size) - 1
    lasting = read.microseconds[last] - read.microseconds[first]
    # A chain of readings that lasts longer than an hour is more than one round.
    for chain in np.flatnonzero(lasting > ROUND):
        begun = read.microseconds[first[chain]]
        for row in range(first[chain] + 1, last[chain] + 1):
            if read.microseconds[row] - begun > ROUND:
                new[row] = True
                begun = read.microseconds[row]
    return np.flatnonzero(new)


def _means(read: SingleReadings, first: Ints) -> Floats:
    """Mean of each quantity in each round; not-a-number where it was not read."""
    width = len(QUANTITIES)
    lengths = np.diff(np.append(first, read.position.size))
    cell = np.repeat(np.arange(first.size), lengths) * width + read.quantity
    size = first.size * width
    total = np.bincount(cell, weights=read.value, minlength=size)
    times = np.bincount(cell, minlength=size)
    means = np.full(size, np.nan)
    np.divide(total, times, out=means, where=times > 0)
    return means.reshape(-1, width)
