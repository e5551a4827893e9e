"""What a pump did as new: its acceptance points, else the rated duty."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from analytics.money.errors import MoneyError
from analytics.money.pump_reading import FLOW_TOLERANCE, AsNew, PumpReading
from plant.display import count
from plant.models import Position

RATED = "rated duty, not a test"
NOT_KNOWN = (
    "Neither the pump has acceptance points nor the position a rated flow, head, power "
    "and density, so the efficiency as new is not known."
)


@dataclass(frozen=True, eq=False)
class KnownAsNew:
    """What is known of the pump as new, and in `words` from where.

    The curve is worked out when it is asked for: a long list needs few of them.
    """

    points: tuple[PumpReading, ...]
    words: str
    is_tested: bool = False

    @property
    def curve(self) -> AsNew | None:
        """Efficiency by flow; None where `refusal` says why."""
        return self._told[0]

    @property
    def refusal(self) -> str:
        """Why there is no curve, or nothing."""
        return self._told[1]

    @property
    def heads(self) -> tuple[tuple[float, float], ...]:
        """Flow and head of each point, by flow; nothing where there is no curve."""
        if self.curve is None:
            return ()
        return tuple((point.flow_m3_h, point.head_m) for point in self._by_flow)

    @property
    def _by_flow(self) -> list[PumpReading]:
        return sorted(self.points, key=lambda point: point.flow_m3_h)

    @cached_property
    def _told(self) -> tuple[AsNew | None, str]:
        if not self.points:
            return None, NOT_KNOWN
        points = self._by_flow
        try:
            curve = AsNew([(point.flow_m3_h, point.efficiency) for point in points])
            # Asked once, so that points that cannot be are refused here, not later.
            curve.efficiency_at(points[0].flow_m3_h)
        except MoneyError as refusal:
            return None, f"As new ({self.words}): {refusal}"
        return curve, ""

    def head_at(self, flow_m3_h: float) -> float | None:
        """Head as new, straight between the points; None beyond their reach."""
        if not self.heads:
            return None
        flows, heads = (np.array(column) for column in zip(*self.heads, strict=True))
        low, high = flows[0] * (1 - FLOW_TOLERANCE), flows[-1] * (1 + FLOW_TOLERANCE)
        if not low <= flow_m3_h <= high:
            return None
        return float(np.interp(flow_m3_h, flows, heads))


def as_new_of(position: Position, points: Sequence[PumpReading]) -> KnownAsNew:
    """Acceptance points of the pump, else the rated duty, which is no test."""
    if points:
        words = count(len(points), "acceptance point")
        return KnownAsNew(tuple(points), words, is_tested=True)
    rated = (
        position.flow_m3_h,
        position.head_m,
        position.density_kg_m3,
        position.power_kw,
    )
    if not all(rated):
        return KnownAsNew((), "not known")
    return KnownAsNew((PumpReading(*map(_number, rated)),), RATED)


def _number(value: float | None) -> float:
    return float(value or 0.0)
