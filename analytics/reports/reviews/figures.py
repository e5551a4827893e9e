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
from analytics.reports.fleet.report import FleetReport, fleet_report
from analytics.reports.reviews.units import told_once, unit_figures, unit_key
from analytics.scope import Scope, today
from analytics.wording import interval_sentence, sample_text, value_text
from plant.display import fixed, money, months
from plant.models import User
from records.action_choices import ActionState
from records.models import Action
from records.selectors.actions import is_overdue, judge_on
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
    fleet = fleet_report(scope)
    units: list[Figures] = []
    sizes: dict[str, int] = {}
    carried = carried_over(review)
    for kind in UnitKind:
        report = bad_actor_report(scope, kind)
        sizes[kind.value] = len(report.units)
        units += _candidates(report, carried)
    units = sorted(told_once(units), key=lambda unit: not unit["is_flagged"])
    return {
        "window": {"start": str(scope.window.start), "end": str(scope.window.end)},
        "headline": _headline(fleet),
        "verdict": verdict(fleet),
        "rolling": _rolling(fleet),
        "judged": sizes,
        "units": units,
        "costs": _costs(fleet),
        "actions": _actions(review),
    }


def review_rule(review: Review, user: User) -> str:
    """Counting rule and flagging rule in words, as printed beside the figures."""
    scope = review_scope(review, user)
    return "\n".join([*scope.rule_in_words(), flag_rule.RULE_IN_WORDS])


def carried_over(review: Review) -> dict[str, str]:
    """Units that the month before left under watch or in work, with that decision."""
    before = (
        Review.objects.filter(site=review.site, month__lt=review.month)
        .order_by("-month")
        .first()
    )
    if before is None:
        return {}
    decisions = before.decisions.exclude(decision="accept")
    return {
        unit_key(_kind_of(row.position_id), row.position_id or row.pump_id or 0): (
            row.decision
        )
        for row in decisions
    }


def _kind_of(position_pk: int | None) -> UnitKind:
    return UnitKind.MACHINE if position_pk is None else UnitKind.POSITION


def _candidates(report: BadActorReport, carried: dict[str, str]) -> list[Figures]:
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
            carried=carried.get(unit_key(report.kind, unit.key), ""),
            is_costliest=unit.key in costliest,
        )
        for unit in chosen
    ]


def _status(unit: Unit) -> str:
    if unit.change is not None:
        return unit.change.value
    return "near miss" if unit.is_near_miss else ""


def _headline(fleet: FleetReport) -> list[Figures]:
    rows = [
        ("MTBR of the window", fleet.mtbr),
        ("MTBR, the year before", fleet.year_before),
    ]
    return [
        {
            "label": label,
            "text": value_text(rate, months, none="no repairs"),
            "interval": interval_sentence(rate, fixed, "months"),
            "sample": sample_text(rate, event="repair", exposure="position-months"),
            "value": rate.value,
        }
        for label, rate in rows
    ]


def _rolling(fleet: FleetReport) -> list[Figures]:
    return [
        {
            "end": str(point.window.end),
            "value": point.rate.value,
            "low": point.rate.low,
            "high": _finite(point.rate.high),
        }
        for point in fleet.rolling
    ]


def _finite(value: float | None) -> float | None:
    return None if value is None or value == float("inf") else value


def _costs(fleet: FleetReport) -> list[Figures]:
    return [
        {
            "currency": total.currency,
            "repair_cost": money(total.repair_cost, total.currency),
            "lost_production": money(total.lost_production, total.currency),
            "environment_safety": money(total.environment_safety, total.currency),
        }
        for total in fleet.costs or []
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


def flagged_units(figures: Figures) -> list[Figures]:
    return [unit for unit in figures.get("units", []) if unit["is_flagged"]]
