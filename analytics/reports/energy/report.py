"""Every position with rounds of flow, head and power, judged; one way for all pages."""

from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta

import numpy as np
from django.utils import timezone

from analytics.exposure import window_of_months
from analytics.life.results import Estimate
from analytics.money.energy import HOURS_PER_YEAR, yearly_cost_of_drop
from analytics.money.pump_reading import PumpReading
from analytics.reports.energy.as_new import KnownAsNew, as_new_of
from analytics.reports.energy.judging import (
    USUAL_MOTOR_EFFICIENCY,
    Efficiency,
    Verdict,
    judge,
)
from analytics.reports.energy.renewal import at_price
from analytics.reports.energy.series import (
    NOW_DAYS,
    STALE_DAYS,
    PumpSeries,
    pump_series,
)
from analytics.scope import Scope
from plant.access import require
from plant.models import AcceptancePoint, Area, Placement, Position, Site
from plant.models.position import PositionQuerySet
from records.selectors.exposure import day_starts, service_spans
from records.selectors.hours import running_hours
from records.selectors.hydraulic_readings import HydraulicRecord, hydraulic_record
from records.selectors.wet_end import Openings, openings

# In the order of PumpReading.
OF_POINT = ("flow_m3_h", "head_m", "density_kg_m3", "shaft_power_kw")
# What a line needs; the other columns take time to read.
OF_POSITION = (
    *("site", "area", "tag"),
    *("flow_m3_h", "head_m", "density_kg_m3", "power_kw"),
)
LOOK_BACK = timedelta(days=NOW_DAYS + STALE_DAYS)
# What no meter vouches for, beyond a minute, makes running hours an estimate.
TOLERANCE_HOURS = 1 / 60


@dataclass(frozen=True, slots=True)
class YearOfRunning:
    """Running hours of the last 12 months, and whether a meter vouches for all."""

    hours: float
    is_estimated: bool


@dataclass(frozen=True, slots=True)
class EnergyLine:
    """One position; energy and cost are None where no drop is clear."""

    position: Position
    series: PumpSeries
    known: KnownAsNew
    efficiency: Efficiency
    running: YearOfRunning | None = None
    kwh: Estimate | None = None
    cost: Estimate | None = None

    @property
    def serial(self) -> str:
        return self.series.pump.serial if self.series.pump else ""


@dataclass(frozen=True, slots=True)
class EnergyReport:
    scope: Scope
    motor_efficiency: float
    lines: list[EnergyLine]
    struck: int
    standby: int
    verdicts: Counter[Verdict] = field(default_factory=Counter)

    def worn(self) -> list[EnergyLine]:
        return [one for one in self.lines if one.efficiency.verdict is Verdict.WORN]


def energy_report(
    scope: Scope,
    motor_efficiency: float = USUAL_MOTOR_EFFICIENCY,
    as_of: datetime | None = None,
) -> EnergyReport:
    """Judge every position with a whole round in the two years before now, or `as_of`.

    Raises
    ------
    PermissionDenied
        When the user's role may not see costs.
    """
    require(scope.user, "records.see_costs")
    as_of = as_of or timezone.now()
    record, judged = lines_judged(
        scope, as_of=as_of, since=as_of - LOOK_BACK, motor_efficiency=motor_efficiency
    )
    clear = [one for one in judged if one.efficiency.measured is not None]
    running = hours_of_last_year(scope, [one.position.pk for one in clear])
    lines = [
        priced(one, running.get(one.position.pk), motor_efficiency) for one in judged
    ]
    return EnergyReport(
        scope=scope,
        motor_efficiency=motor_efficiency,
        lines=lines,
        struck=sum(record.struck.values()),
        standby=sum(record.standby.values()),
        verdicts=Counter(one.efficiency.verdict for one in lines),
    )


def lines_judged(
    scope: Scope, *, as_of: datetime, since: datetime, motor_efficiency: float
) -> tuple[HydraulicRecord, list[EnergyLine]]:
    """Positions with a whole round, without hours and money; five queries."""
    judging = _judging(scope, as_of, since, motor_efficiency)
    read = judging.record.rounds.with_whole()
    positions = [one for one in _positions(scope) if one.pk in read]
    return judging.record, [judging.line(one) for one in positions]


def _positions(scope: Scope) -> Iterator[Position]:
    """Positions with their site and area, each of which is read once."""
    areas, sites = Area.objects.in_bulk(), Site.objects.in_bulk()
    rows = scope.positions().order_by("site__name", "tag", "pk").only(*OF_POSITION)
    for position in rows:
        position.area = areas[position.area_id]
        position.site = sites[position.site_id]
        yield position


def line_of(
    scope: Scope, as_of: datetime, since: datetime, motor_efficiency: float
) -> tuple[HydraulicRecord, EnergyLine]:
    """The same of the one position that the scope names, with or without rounds."""
    assert scope.position is not None
    judging = _judging(scope, as_of, since, motor_efficiency)
    return judging.record, judging.line(scope.position)


@dataclass(frozen=True, slots=True)
class _Judging:
    """All that is needed to judge the positions of a scope one after the other."""

    scope: Scope
    as_of: datetime
    motor_efficiency: float
    record: HydraulicRecord
    opened: Openings
    points: defaultdict[int, list[PumpReading]]

    def line(self, position: Position) -> EnergyLine:
        with_history = self.scope.position is not None
        series = pump_series(
            *(position.pk, self.record, self.opened, self.as_of),
            with_history=with_history,
        )
        own = self.points[series.pump.pump] if series.pump else []
        known = as_new_of(position, own)
        found = judge(
            series,
            known,
            position.density_kg_m3,
            self.motor_efficiency,
            self.scope.confidence,
            with_history=with_history,
        )
        return EnergyLine(position, series, known, found)


def _judging(
    scope: Scope, as_of: datetime, since: datetime, motor_efficiency: float
) -> _Judging:
    asked = scope.positions()
    return _Judging(
        scope=scope,
        as_of=as_of,
        motor_efficiency=motor_efficiency,
        record=hydraulic_record(asked, until=as_of, since=since),
        opened=openings(asked, until=as_of, since=since),
        points=_acceptance_points(asked),
    )


def _acceptance_points(
    positions: PositionQuerySet,
) -> defaultdict[int, list[PumpReading]]:
    """Of the pumps that stand at the positions now, by pump."""
    standing = Placement.objects.filter(
        position__in=positions.order_by().values("pk"), removed_at=None
    )
    rows = (
        AcceptancePoint.objects.filter(pump__in=standing.values("pump"))
        .order_by()
        .values_list("pump", *OF_POINT)
    )
    points: defaultdict[int, list[PumpReading]] = defaultdict(list)
    for pump, *read in rows:
        points[pump].append(PumpReading(*read))
    return points


def hours_of_last_year(scope: Scope, positions: list[int]) -> dict[int, YearOfRunning]:
    """Running hours in the 12 months that end today, by position; four queries."""
    if not positions:
        return {}
    rows = scope.positions().filter(pk__in=positions)
    spans = service_spans(rows)
    window = window_of_months(scope.window.end, 12)
    zones = spans["zone"].to_numpy()
    first, after = (
        np.clip(spans[name].to_numpy(), window.first_day, window.day_after)
        for name in ("start_day", "end_day")
    )
    found = running_hours(
        rows, spans, day_starts(first, zones), day_starts(after, zones)
    )
    return {
        int(position): YearOfRunning(
            min(float(hours), HOURS_PER_YEAR), bool(estimated > TOLERANCE_HOURS)
        )
        for position, hours, estimated in zip(
            spans["position"], found.hours, found.estimated, strict=True
        )
    }


def priced(
    line: EnergyLine, running: YearOfRunning | None, motor_efficiency: float
) -> EnergyLine:
    """The line with the energy of its drop, and its cost where a price is known."""
    measured = line.efficiency.measured
    if measured is None or running is None:
        return line
    kwh = yearly_cost_of_drop(measured, running.hours, 1.0, motor_efficiency)
    price = line.position.site.energy_price_per_kwh
    cost = None if price is None else at_price(kwh, price)
    return EnergyLine(
        line.position, line.series, line.known, line.efficiency, running, kwh, cost
    )
