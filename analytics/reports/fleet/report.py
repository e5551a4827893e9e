"""The Fleet page: today at a glance, each figure with what stands behind it."""

from dataclasses import dataclass

from analytics.exposure import MONTH_DAYS, Window, exposure_days, months_back
from analytics.in_service import Service, service_load
from analytics.life.compare import RateRatio, rate_ratio
from analytics.rates import MeanTime, mean_time
from analytics.reports.bad_actors.changes import Change
from analytics.reports.bad_actors.month_before import flagged_by_change
from analytics.reports.bad_actors.units import bad_actor_service, events_since
from analytics.reports.fleet.rows import RowKind, rows_count
from analytics.reports.mtbr.report import (
    ROLLING_MONTHS,
    ROLLING_POINTS,
    RollingPoint,
    rolling_mtbr,
)
from analytics.scope import Scope
from plant.access import may
from records.quality.figures import QualityFigure, QualityScope, quality_figures
from records.selectors.cost_totals import CostTotals, cost_line_totals
from records.selectors.costs import lines_reported


@dataclass(frozen=True, slots=True)
class FleetTrend:
    """Mean time between repairs now, a year before, and on the way."""

    scope: Scope
    mtbr: MeanTime
    year_before: MeanTime
    change: RateRatio | None
    rolling: list[RollingPoint]


@dataclass(frozen=True, slots=True)
class FleetReport(FleetTrend):
    in_service: int
    all_positions: int
    counts: dict[RowKind, int]
    flagged: dict[str, Change]
    """Positions that are flagged, each new or still there."""
    quality: list[QualityFigure]
    costs: list[CostTotals] | None
    """None when the user's role may not see costs."""


def fleet_report(scope: Scope) -> FleetReport:
    service = fleet_service(scope)
    trend = fleet_trend(service)
    return FleetReport(
        scope=scope,
        mtbr=trend.mtbr,
        year_before=trend.year_before,
        change=trend.change,
        rolling=trend.rolling,
        in_service=_in_service(service),
        all_positions=len(service.spans),
        counts={kind: rows_count(kind, scope) for kind in RowKind},
        flagged=_flagged(service),
        quality=quality_figures(QualityScope(scope.user, scope.site, scope.area)),
        costs=fleet_costs(scope),
    )


def fleet_service(scope: Scope) -> Service:
    """Events as far back as the rolling line and the rule of bad actors need them."""
    rolling_since = months_back(scope.window.end, ROLLING_POINTS + ROLLING_MONTHS)
    return service_load(scope, since=min(rolling_since, events_since(scope)))


def fleet_trend(service: Service) -> FleetTrend:
    """Without a query; the service is that of `fleet_service`."""
    window = service.scope.window
    now, before = _mtbr(service, window), _mtbr(service, window.year_before)
    return FleetTrend(
        scope=service.scope,
        mtbr=now,
        year_before=before,
        change=_change(now, before),
        rolling=rolling_mtbr(service),
    )


def _flagged(service: Service) -> dict[str, Change]:
    if not len(service.spans):
        return {}
    return flagged_by_change(bad_actor_service(service.scope, service))


def _in_service(service: Service) -> int:
    today = Window(service.scope.window.end, service.scope.window.end)
    return int((exposure_days(service.spans, today) > 0).sum())


def _mtbr(service: Service, window: Window) -> MeanTime:
    months = exposure_days(service.spans, window).sum() / MONTH_DAYS
    return mean_time(months, len(service.events_of(window)), service.scope.confidence)


def _change(now: MeanTime, before: MeanTime) -> RateRatio | None:
    """Repair rate of this year over that of the year before."""
    if now.exposure <= 0 or before.exposure <= 0:
        return None
    return rate_ratio(
        now.events, now.exposure, before.events, before.exposure, now.confidence
    )


def fleet_costs(scope: Scope) -> list[CostTotals] | None:
    """Cost of the window; None when the user's role may not see costs."""
    if not may(scope.user, "records.see_costs"):
        return None
    lines = lines_reported(
        user=scope.user,
        site=scope.site,
        area=scope.area,
        start=scope.window.start,
        end=scope.window.end,
    )
    return cost_line_totals(lines)
