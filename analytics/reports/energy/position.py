"""The wear of the pump at one position: all that its page shows."""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

import numpy as np
from django.utils import timezone

from analytics.life.results import Estimate
from analytics.money.errors import TooLittleData
from analytics.money.pump_reading import FLOW_TOLERANCE
from analytics.money.wear_pace import change_per_year
from analytics.reports.energy.as_new import KnownAsNew
from analytics.reports.energy.judging import (
    USUAL_MOTOR_EFFICIENCY,
    UsedRound,
    Verdict,
)
from analytics.reports.energy.report import (
    EnergyLine,
    YearOfRunning,
    hours_of_last_year,
    line_of,
)
from analytics.reports.energy.series import LeftOut, PumpSeries
from analytics.scope import Scope
from plant.access import require
from plant.models import Pump
from records.models import Repair
from records.selectors.wet_end import last_opening

# The page looks this far back; older rounds tell nothing about now.
LOOK_BACK_YEARS = 5
YEAR = 365.25


@dataclass(frozen=True, slots=True)
class HeadPoint:
    """Head of one round of about the same flow, with that as new at its flow."""

    read_at: datetime
    flow_m3_h: float
    head_m: float
    as_new_m: float | None


@dataclass(frozen=True, slots=True)
class PositionEnergy:
    """One position; `pace` and `head_pace` are changes a year since the opening.

    `pace` is in shares of one of efficiency, `head_pace` in shares of the head.
    """

    line: EnergyLine
    pump: Pump | None
    opening: Repair | None
    running: YearOfRunning | None
    heads: list[HeadPoint]
    pace: Estimate | None
    head_pace: Estimate | None
    struck: int
    standby: int
    as_of: datetime

    @property
    def series(self) -> PumpSeries:
        return self.line.series

    @property
    def known(self) -> KnownAsNew:
        return self.line.known

    @property
    def told(self) -> list[UsedRound]:
        return self.line.efficiency.told

    @property
    def left_out(self) -> list[LeftOut]:
        return sorted(
            self.line.efficiency.left_out, key=lambda one: one.round.microseconds
        )

    @property
    def wear_years(self) -> float | None:
        """Years in which the drop came, by its pace; None where it has no clear one."""
        drop, pace = self.line.efficiency.drop, self.pace
        if drop is None or pace is None or pace.interval.high >= 0 or drop.value <= 0:
            return None
        return drop.value / -pace.value


def position_energy(
    scope: Scope,
    motor_efficiency: float = USUAL_MOTOR_EFFICIENCY,
    as_of: datetime | None = None,
) -> PositionEnergy:
    """Judge one position as the list does, with everything that led to it.

    Raises
    ------
    PermissionDenied
        When the user's role may not see costs.
    """
    require(scope.user, "records.see_costs")
    as_of = as_of or timezone.now()
    position = scope.position
    if position is None:
        raise ValueError("The scope names no position.")
    since = as_of - timedelta(days=LOOK_BACK_YEARS * YEAR)
    record, line = line_of(scope, as_of, since, motor_efficiency)
    stay = line.series.pump
    pump = Pump.objects.filter(pk=stay.pump).first() if stay else None
    running = hours_of_last_year(scope, [position.pk]).get(position.pk)
    opening = None
    if stay is not None and line.series.is_since_opening:
        opening = last_opening(pump=stay.pump, position=position.pk, until=as_of)
    heads = _heads(line)
    return PositionEnergy(
        line=replace(line, running=running),
        pump=pump,
        opening=opening,
        running=running,
        heads=heads,
        pace=_pace(line, scope.confidence),
        head_pace=_head_pace(heads, scope.confidence),
        struck=record.struck[position.pk],
        standby=record.standby[position.pk],
        as_of=as_of,
    )


def _since_opening(line: EnergyLine) -> list[UsedRound]:
    """Rounds that belong together, at the flow of those judged."""
    told, since = line.efficiency.told, line.series.since or 0
    used = line.efficiency.used or told
    if not used:
        return []
    middle = float(np.median([one.reading.flow_m3_h for one in used]))
    return [
        one
        for one in told
        if one.round.microseconds >= since
        and abs(one.reading.flow_m3_h - middle) <= FLOW_TOLERANCE * middle
    ]


def _heads(line: EnergyLine) -> list[HeadPoint]:
    return [
        HeadPoint(
            one.round.read_at,
            one.reading.flow_m3_h,
            one.reading.head_m,
            line.known.head_at(one.reading.flow_m3_h),
        )
        for one in _since_opening(line)
    ]


def _years(moments: list[datetime]) -> list[float]:
    return [moment.timestamp() / (86_400 * YEAR) for moment in moments]


def _pace(line: EnergyLine, confidence: float) -> Estimate | None:
    rounds = _since_opening(line)
    if line.efficiency.verdict is Verdict.NO_FIGURE:
        return None
    years = _years([one.round.read_at for one in rounds])
    try:
        return change_per_year(years, [one.efficiency for one in rounds], confidence)
    except TooLittleData:
        return None


def _head_pace(heads: list[HeadPoint], confidence: float) -> Estimate | None:
    """Of head over head as new at the flow read, else over the mean head."""
    if not heads:
        return None
    mean = float(np.mean([one.head_m for one in heads]))
    is_known = all(one.as_new_m is not None for one in heads)
    shares = [
        one.head_m / (one.as_new_m if is_known and one.as_new_m else mean)
        for one in heads
    ]
    try:
        return change_per_year(
            _years([one.read_at for one in heads]), shares, confidence
        )
    except TooLittleData:
        return None
