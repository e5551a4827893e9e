"""What the generator of the demo plant keeps in hand while the years go by."""

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from records.demo.parts import BearingPart, Life, SealPart

if TYPE_CHECKING:
    from records.demo.layout import AreaPlan, Duty

YEARS = 6
DAYS = YEARS * 365.25
# How much of a bearing's load comes from running off the best efficiency flow.
OFF_BEST = 0.6
SMALL_SHAFT_MM = 40.0
LEAST_FLOW_OF_A_SPACER = 60.0


@dataclass(slots=True)
class Part:
    """One seal or bearing in a pump, with the day on which it would fail."""

    component: str
    location: str
    row: dict[str, str]
    fitted_day: float
    life: Life
    mechanism: str
    cause: str
    finding: str
    price: int
    fails_day: float = DAYS * 2


@dataclass(slots=True)
class Machine:
    """A pump: serial number, shaft, and what is fitted in it now."""

    serial: str
    assembly: str
    size: str
    overhang_mm: float
    shaft_mm: float
    life_factor: float = 1.0
    fitted: dict[str, Part] = field(default_factory=dict)

    @property
    def is_small(self) -> bool:
        """Small sizes have open impellers and solid shafts."""
        return self.shaft_mm < SMALL_SHAFT_MM


@dataclass(slots=True)
class Spot:
    """A position, with what truly holds there."""

    tag: str
    area: "AreaPlan"
    duty: "Duty"
    share: float
    criticality: str
    spare_group: str
    stopped_cost: int
    flow: float
    bep_flow: float
    head: float
    speed: int
    has_meter: bool
    meter_base: float
    seal: SealPart
    radial: BearingPart
    first_plan: str = ""
    life_factor: float = 1.0
    machine: Machine | None = None
    repairs_at: list[float] = field(default_factory=list)
    busy_until: float = 0.0

    @property
    def spared(self) -> bool:
        return bool(self.spare_group)

    @property
    def spacer_mm(self) -> int:
        """Length of the coupling's spacer; 0 where the coupling is short."""
        if self.bep_flow < LEAST_FLOW_OF_A_SPACER:
            return 0
        return 100 if self.bep_flow < 2 * LEAST_FLOW_OF_A_SPACER else 140

    def meter(self, day: float) -> float:
        """Running-hour meter on a day since the log began."""
        return self.meter_base + 24 * self.share * day

    def bearing_load(self, bearing: BearingPart) -> float:
        """Equivalent load in kN: it grows with the distance from the best flow."""
        return bearing.load_kn * (1 + OFF_BEST * abs(1 - self.flow / self.bep_flow))


@dataclass(frozen=True, slots=True)
class Span:
    """When a repair was reported, the pump stopped and handed back, in days."""

    reported_day: float
    stopped_day: float
    returned_day: float


def moment(start: datetime, day: float) -> str:
    """A day since the log began as local time, to the quarter hour."""
    at = start + timedelta(days=day)
    return (at - timedelta(minutes=at.minute % 15, seconds=at.second)).strftime(
        "%Y-%m-%d %H:%M"
    )
