"""Rows of the flagged units: why, since when, and what to do next."""

from typing import Any
from urllib.parse import urlencode

from django.urls import reverse

from analytics.reports.bad_actors.own_trend import OwnTrend
from analytics.reports.bad_actors.report import BadActorReport, Unit, UnitKind
from analytics.reports.bad_actors.table import address
from analytics.tables import Cell
from plant.access import may
from plant.display import NO_VALUE, count, date, days, fixed, interval, number, percent


def flag_columns(report: BadActorReport) -> list[Cell]:
    heads: list[Cell] = [
        {"label": report.kind.label},
        {"label": "Why"},
        {"label": "A month before"},
        {"label": "Its own rate"},
        {"label": "Since last repair", "numeric": True},
    ]
    if report.shows_costs:
        heads.append({"label": "Repair cost", "numeric": True})
    if _may_decide(report):
        heads.append({"label": "Next step"})
    return heads


def flag_rows(report: BadActorReport) -> list[list[Cell]]:
    return [_flagged(unit, report) for unit in report.flagged]


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


def _flagged(unit: Unit, report: BadActorReport) -> list[Cell]:
    row: list[Cell] = [
        {"text": unit.label, "url": address(unit, report.kind), "note": unit.place},
        {
            "text": unit.reason,
            "note": f"Its peers: {unit.peers}, {count(unit.others, 'other')}",
        },
        {"text": str(unit.change.value) if unit.change else NO_VALUE},
        _trend(unit.trend),
        {
            "text": NO_VALUE if unit.days_since is None else days(unit.days_since),
            "numeric": True,
            "title": date(unit.last_on),
        },
    ]
    if report.shows_costs:
        row.append(_cost(unit, report))
    if _may_decide(report):
        row.append({"text": "Decide an action", "url": _decide_address(unit, report)})
    return row


def _trend(trend: OwnTrend | None) -> Cell:
    if trend is None:
        return {"text": NO_VALUE}
    return {"text": trend.course.value, "note": trend_words(trend)}


def _cost(unit: Unit, report: BadActorReport) -> Cell:
    if not unit.cost_share:
        return {"text": NO_VALUE, "numeric": True}
    ranks = [
        f"{currency}: rank {number(rank.rank)}"
        for currency, ranked in report.ranks.items()
        for rank in ranked
        if rank.key == unit.key
    ]
    return {
        "text": f"{percent(unit.cost_share, 1)} of all",
        "numeric": True,
        "note": ", ".join(ranks),
    }


def _may_decide(report: BadActorReport) -> bool:
    return may(report.scope.user, "records.decide_action")


def _decide_address(unit: Unit, report: BadActorReport) -> str:
    name = "position" if report.kind is UnitKind.POSITION else "pump"
    return f"{reverse('analytics:action_new')}?{urlencode({name: unit.key})}"


def _two_places(value: Any) -> str:
    return fixed(value, 2)
