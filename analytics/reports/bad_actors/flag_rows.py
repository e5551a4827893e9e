"""Rows of the flagged units: why, whether new, and what to do next."""

from collections.abc import Sequence
from typing import Any
from urllib.parse import urlencode

from django.urls import reverse

from analytics.reports.bad_actors.changes import Change
from analytics.reports.bad_actors.own_trend import OwnTrend
from analytics.reports.bad_actors.report import BadActorReport, Unit, UnitKind
from analytics.reports.bad_actors.table import address
from analytics.reports.bad_actors.unit_actions import action_in_words, open_actions
from analytics.tables import Cell
from plant.access import may
from plant.display import NO_VALUE, count, date, days, fixed, interval, number, percent
from records.models import Action


def flag_columns(report: BadActorReport) -> list[Cell]:
    first = "Position" if report.kind is UnitKind.POSITION else "Pump"
    heads: list[Cell] = [
        {"label": first},
        {"label": "Why"},
        {"label": "Its own rate"},
    ]
    if report.shows_costs:
        heads.append({"label": "Repair cost", "numeric": True})
    if _may_decide(report):
        heads.append({"label": "Next step"})
    return heads


def flag_rows(report: BadActorReport) -> list[list[Cell]]:
    flagged = report.flagged
    actions = open_actions(report, {unit.key for unit in flagged})
    return [_flagged(unit, report, actions.get(unit.key, ())) for unit in flagged]


def recovered_rows(report: BadActorReport) -> list[list[Cell]]:
    """Flagged a month before and no more, with what is counted now."""
    return [
        [
            {
                "text": unit.label,
                "url": address(unit, report.kind),
                "note": unit.place,
            },
            {"text": unit.reason or f"{unit.counts_in_words}; no longer flagged."},
        ]
        for unit in report.recovered
    ]


def trend_words(trend: OwnTrend) -> str:
    """The figures behind the course, or the number of events that is too few."""
    events = count(trend.events, "event")
    if trend.shape is None or trend.interval is None:
        return events
    limits = interval(trend.interval.low, trend.interval.high, _two_places)
    return f"{events}, power-law shape {fixed(trend.shape, 2)} ({limits})"


def _flagged(
    unit: Unit, report: BadActorReport, actions: Sequence[Action]
) -> list[Cell]:
    row: list[Cell] = [
        {"text": unit.label, "url": address(unit, report.kind), "note": unit.place},
        {
            "text": unit.reason,
            "note": f"Its peers: {unit.peers}, {count(unit.others, 'other')}",
            **_flag(unit),
        },
        _trend(unit),
    ]
    if report.shows_costs:
        row.append(_cost(unit, report))
    if _may_decide(report):
        row.append(_next_step(unit, report, actions))
    return row


def _flag(unit: Unit) -> Cell:
    """New on the list, or there a month before too."""
    if unit.change is Change.NEW:
        return {"flag": "new", "alert": True}
    return {"flag": "still flagged"}


def _trend(unit: Unit) -> Cell:
    last = ""
    if unit.days_since is not None:
        last = f"last repair {days(unit.days_since)} before the as-of day"
    if unit.trend is None:
        return {"text": NO_VALUE, "note": last, "title": date(unit.last_on)}
    note = f"{trend_words(unit.trend)}; {last}" if last else trend_words(unit.trend)
    return {
        "text": unit.trend.course.value,
        "note": note,
        "title": f"Last repair {date(unit.last_on)}",
    }


def _cost(unit: Unit, report: BadActorReport) -> Cell:
    if not unit.cost_share:
        return {"text": NO_VALUE, "numeric": True}
    ranks = [
        f"rank {number(ranked[unit.key].rank)} in {currency}"
        for currency, ranked in report.ranks.items()
        if unit.key in ranked
    ]
    return {
        "text": f"{percent(unit.cost_share, 1)} of all",
        "numeric": True,
        "note": ", ".join(ranks),
    }


def _may_decide(report: BadActorReport) -> bool:
    return may(report.scope.user, "records.decide_action")


def _next_step(unit: Unit, report: BadActorReport, actions: Sequence[Action]) -> Cell:
    """The open actions about it go before deciding another."""
    decide = _decide_address(unit, report)
    if not actions:
        return {"text": "Decide an action", "url": decide}
    first = actions[0]
    said = [action_in_words(action, with_title=action != first) for action in actions]
    return {
        "text": first.title,
        "url": first.get_absolute_url(),
        "note": f"open action: {'; '.join(said)}",
    }


def _decide_address(unit: Unit, report: BadActorReport) -> str:
    name = "position" if report.kind is UnitKind.POSITION else "pump"
    return f"{reverse('analytics:action_new')}?{urlencode({name: unit.key})}"


def _two_places(value: Any) -> str:
    return fixed(value, 2)
