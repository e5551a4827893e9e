"""What a pump did as new: its acceptance points, else the rated duty."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from analytics.money.errors import MoneyError
from analytics.money.pump_reading import FLOW_TOLERANCE, AsNew, PumpReading
from plant.display import count
from plant.models import AcceptancePoint, Position

RATED = "rated duty, not a test"
NOT_KNOWN = (
    "Neither the pump has acceptance points nor the position a rated flow, head, power "
    "and density, so the efficiency as new is not known."
)


@dataclass(frozen=True, slots=True)
class KnownAsNew:
    """Efficiency and head by flow as new; `curve` is None where `refusal` says why."""

    curve: AsNew | None
    heads: tuple[tuple[float, float], ...]
    is_tested: bool
    words: str
    refusal: str = ""

    def head_at(self, flow_m3_h: float) -> float | None:
        """Head as new, straight between the points; None beyond their reach."""
        if not self.heads:
            return None
        flows, heads = (np.array(column) for column in zip(*self.heads, strict=True))
        low, high = flows[0] * (1 - FLOW_TOLERANCE), flows[-1] * (1 + FLOW_TOLERANCE)
        if not low <= flow_m3_h <= high:
            return None
        return float(np.interp(flow_m3_h, flows, heads))


def as_new_of(position: Position, points: Sequence[AcceptancePoint]) -> KnownAsNew:
    """Acceptance points of the pump, else the rated duty, which is no test."""
    if points:
        words = count(len(points), "acceptance point")
        return _known([_reading(point) for point in points], words, is_tested=True)
    rated = (
        position.flow_m3_h,
        position.head_m,
        position.density_kg_m3,
        position.power_kw,
    )
    if not all(rated):
        return KnownAsNew(None, (), False, "not known", NOT_KNOWN)
    return _known([PumpReading(*map(_number, rated))], RATED, is_tested=False)


def _reading(point: AcceptancePoint) -> PumpReading:
    return PumpReading(
        point.flow_m3_h, point.head_m, point.density_kg_m3, point.shaft_power_kw
    )


def _number(value: float | None) -> float:
    return float(value or 0.0)


def _known(points: Sequence[PumpReading], words: str, *, is_tested: bool) -> KnownAsNew:
    points = sorted(points, key=lambda point: point.flow_m3_h)
    heads = tuple((point.flow_m3_h, point.head_m) for point in points)
    try:
        curve = AsNew([(point.flow_m3_h, point.efficiency) for point in points])
        # Asked once, so that points that cannot be are refused here and not later.
        curve.efficiency_at(points[0].flow_m3_h)
    except MoneyError as refusal:
        return KnownAsNew(None, (), is_tested, words, f"As new ({words}): {refusal}")
    return KnownAsNew(curve, heads, is_tested, words)
