"""What was read at a pump, and the efficiency it had as new."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from analytics.life.arrays import FloatArray
from analytics.money.errors import InvalidFigure, TooLittleData
from analytics.money.figures import above_zero, share_of_one
from plant.ratings.hydraulics import hydraulic_power_kw, pump_efficiency
from plant.ratings.rating import RatingError

# Readings this close to their middle flow, as a share of it, are of one point.
FLOW_TOLERANCE = 0.05


@dataclass(frozen=True, slots=True)
class PumpReading:
    """Flow, head and power read at one time.

    Parameters
    ----------
    flow_m3_h, head_m, density_kg_m3 : float
        Of the liquid as pumped, above zero.
    shaft_power_kw : float
        At the pump's shaft: motor input times motor efficiency.
    """

    flow_m3_h: float
    head_m: float
    density_kg_m3: float
    shaft_power_kw: float

    @property
    def hydraulic_power_kw(self) -> float:
        """Power given to the liquid.

        Raises
        ------
        InvalidFigure
            If a value is not above zero.
        """
        try:
            return float(
                hydraulic_power_kw(self.flow_m3_h, self.head_m, self.density_kg_m3)
            )
        except RatingError as refusal:
            raise InvalidFigure(str(refusal)) from None

    @property
    def efficiency(self) -> float:
        """Hydraulic power over shaft power, a share of one.

        Raises
        ------
        InvalidFigure
            If a value is not above zero or more power leaves than enters.
        """
        try:
            return float(
                pump_efficiency(
                    self.flow_m3_h,
                    self.head_m,
                    self.density_kg_m3,
                    self.shaft_power_kw,
                )
            )
        except RatingError as refusal:
            raise InvalidFigure(str(refusal)) from None


@dataclass(frozen=True, slots=True)
class AsNew:
    """Efficiency of the pump as new, from its curve or acceptance test.

    Parameters
    ----------
    points : sequence of (float, float)
        Flow in m3/h and efficiency as a share of one; flows all different.
    """

    points: Sequence[tuple[float, float]]

    def efficiency_at(self, flow_m3_h: float) -> float:
        """Efficiency as new at a flow, straight between the points.

        Raises
        ------
        InvalidFigure
            If there is no point, a value is out of range or two points have
            one flow.
        TooLittleData
            If the flow lies outside the points by more than the tolerance.
        """
        if not self.points:
            raise InvalidFigure("The efficiency as new is not known at any flow.")
        flows, shares = _curve(tuple(map(tuple, self.points)))
        flow = above_zero(flow_m3_h, "flow")
        low, high = flows[0] * (1 - FLOW_TOLERANCE), flows[-1] * (1 + FLOW_TOLERANCE)
        if not low <= flow <= high:
            raise TooLittleData(
                f"At {flow:g} m3/h the efficiency as new is not known; the points "
                f"reach from {flows[0]:g} to {flows[-1]:g} m3/h."
            )
        return float(np.interp(flow, flows, shares))


@lru_cache(maxsize=1024)
def _curve(points: tuple[tuple[float, float], ...]) -> tuple[FloatArray, FloatArray]:
    """Flows and efficiencies in order of flow, checked once for many readings."""
    known = sorted(
        (above_zero(flow, "flow as new"), share_of_one(share, "efficiency as new"))
        for flow, share in points
    )
    flows, shares = (np.array(column) for column in zip(*known, strict=True))
    if (np.diff(flows) == 0.0).any():
        raise InvalidFigure("Two points of the pump as new have the same flow.")
    return flows, shares
