"""The figures of a review: one dictionary, as it is frozen, printed and sent.

It holds plain values only (text, numbers, lists), so that what is frozen as JSON is
what every page and file shows.
"""

from datetime import date, timedelta
from typing import Any

from django.db.models import Q

from analytics.exposure import Window, months_back, window_of_months
from analytics.models import Review
from analytics.reports.bad_actors import rule as flag_rule
from analytics.reports.bad_actors.changes import (
    Change,
)
from analytics.reports.bad_actors.report import (
    BadActorReport,
    Unit,
    UnitKind,
    bad_actor_report,
    evidence_order,
)
from analytics.reports.fleet.page import verdict
from analytics.reports.fleet.report import (
    fleet_costs,
    fleet_service,
    fleet_trend,
)
from analytics.reports.mtbr.report import RollingPoint
from analytics.reports.reviews.carried import Carried, carried_over
from analytics.reports.reviews.decided import bare_figures
from analytics.reports.reviews.headline import headline, years_apart
from analytics.reports.reviews.open_actions import name_open_actions
from analytics.reports.reviews.units import (
    NEAR_MISS,
    told_once,
    unit_figures,
    unit_key,
)
from analytics.scope import Scope, today
from plant.display import money
from plant.models import User
from records.action_choices import ActionState
from records.models import Action
from records.selectors.actions import is_overdue, judge_on
from records.selectors.cost_totals import CostTotals
from records.tables.actions import state_words

Figures = dict[str, Any]
CONFIDENCE = 0.90


def month_end(month: date) -> date:
    """The last day of the month that begins on `month`."""
    return months_back(month, -1) - timedelta(days=1)


def review_window(review: Review) -> Window:
    """The months that end with the reviewed one; to today while it still runs."""
    return window_of_months(min(month_end(review.month), today()), review.window_months)


def review_scope(review: Review, user: User) -> Scope:
    return Scope(user, review_window(review), site=review.site, confidence=CONFIDENCE)


def review_figures(review: Review, user: User) -> Figures:
    """Everything the review says, computed from the records as they are now."""
    scope = review_scope(review, user)
    service = fleet_service(scope)
    trend = fleet_trend(service)
    costs = fleet_costs(scope)
    units: list[Figures] = []
    sizes: dict[str, int] = {}
    carried = carried_over(review)
    for kind in UnitKind:
        report = bad_actor_report(scope, kind, service)
        sizes[kind.value] = len(report.units)
        units += _candidates(report, carried)
    units = told_once(units)
    units += _without_figures(carried, units)
    units.sort(key=lambda unit: not unit["is_flagged"])
    name_open_actions(units, review.site)
    return {
        "window": {"start": str(scope.window.start), "end": str(scope.window.end)},
        "headline": headline(trend),
        "verdict": verdict(years_apart(trend)),
        "rolling": _rolling(trend.rolling),
        "judged": sizes,
        "units": units,
        "shows_costs": costs is not None,
        "costs": _costs(costs or []),
        "actions": _actions(review),
    }


def review_rule(review: Review, user: User) -> str:
    """Counting rule and flagging rule in words, as printed beside the figures."""
    scope = review_scope(review, user)
    return "\n".join([*scope.rule_in_words(), flag_rule.RULE_IN_WORDS])


def _without_figures(
    carried: dict[str, Carried], units: list[Figures]
) -> list[Figures]:
    """Carried over, but not judged: taken out of service, say."""
    listed = {unit["id"] for unit in units}
    return [
        {
            **bare_figures(key, one.label),
            "carried": one.decision,
            "carried_from": one.month,
            "reason": "It was not in service in this window: there are no figures.",
        }
        for key, one in carried.items()
        if key not in listed
    ]


def _candidates(report: BadActorReport, carried: dict[str, Carried]) -> list[Figures]:
    """Flagged, near misses, recovered, costliest and carried over; best known first."""
    costliest = {unit.key for unit in report.costliest}
    chosen = [
        unit
        for unit in sorted(report.units, key=evidence_order)
        if unit.is_flagged
        or unit.is_near_miss
        or unit.key in costliest
        or unit.change is Change.RECOVERED
        or unit_key(report.kind, unit.key) in carried
    ]
    return [
        unit_figures(
            unit,
            report.kind,
            status=_status(unit),
            carried=carried.get(unit_key(report.kind, unit.key)),
            is_costliest=unit.key in costliest,
        )
        for unit in chosen
    ]


def _status(unit: Unit) -> str:
    if unit.change is not None:
        return unit.change.value
    return NEAR_MISS if unit.is_near_miss else ""


def _rolling(points: list[RollingPoint]) -> list[Figures]:
    return [
        {
            "end": str(point.window.end),
            "value": point.rate.value,
            "low": point.rate.low,
            "high": _finite(point.rate.high),
        }
        for point in points
    ]


def _finite(value: float | None) -> float | None:
    return None if value is None or value == float("inf") else value


def _costs(totals: list[CostTotals]) -> list[Figures]:
    return [
        {
            "currency": total.currency,
            "repair_cost": money(total.repair_cost, total.currency),
            "lost_production": money(total.lost_production, total.currency),
            "environment_safety": money(total.environment_safety, total.currency),
        }
        for total in totals
    ]


def _actions(review: Review) -> list[list[str]]:
    """Actions open, waiting for a verdict, judged since, or decided on in this review.

    Each line ends with the number of the action, by which the page leads to it.
    """
    concerned = (
        Q(state__in=[ActionState.OPEN, ActionState.DONE])
        | Q(judged_at__date__gte=review.month)
        | Q(review_decisions__review=review)
    )
    rows = (
        Action.objects.filter(concerned, site=review.site)
        .distinct()
        .select_related("owner")
        .order_by("due_on", "pk")
    )
    return [
        [str(row), str(row.owner), str(row.due_on), _state(row), str(row.pk)]
        for row in rows
    ]


def _state(action: Action) -> str:
    words = state_words(action)
    if is_overdue(action, today()):
        return f"{words}, overdue"
    planned = judge_on(action)
    if action.state == ActionState.DONE and planned is not None:
        due = "verdict due since" if planned <= today() else "verdict on"
        return f"{words}, {due} {planned}"
    return words


def must_be_decided(unit: Figures) -> bool:
    """Flagged, or carried over: neither may drop out of sight without a word."""
    return bool(unit["is_flagged"] or unit["carried"])


def units_to_decide(figures: Figures) -> list[Figures]:
    return [unit for unit in figures.get("units", []) if must_be_decided(unit)]


def flagged_units(figures: Figures) -> list[Figures]:
    return [unit for unit in figures.get("units", []) if unit["is_flagged"]]
