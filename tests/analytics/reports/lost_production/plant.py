"""A small plant with positions alone and in groups, for the tests of losses."""

from datetime import UTC, date, datetime, timedelta

from analytics.exposure import Window
from analytics.reports.lost_production.report import lost_production_report
from analytics.reports.lost_production.words import Stoppage, Words
from analytics.scope import Scope
from plant.models import SpareGroup
from records.choices import CostKind
from tests.factories.plant import AreaFactory, PositionFactory
from tests.factories.records import CostLineFactory, RepairFactory

MARCH = Window(date(2024, 3, 1), date(2024, 3, 31))
YEAR = Window(date(2024, 1, 1), date(2024, 12, 31))
NOW = datetime(2026, 1, 1, tzinfo=UTC)
BEGIN = datetime(2024, 3, 4, tzinfo=UTC)


def at(hour):
    return BEGIN + timedelta(hours=hour)


def alone(tag="P-1", cost=350, **more):
    return PositionFactory(tag=tag, stopped_cost_per_hour=cost, **more)


def group_of(size, *, needed=1, cost=100, area=None, **more):
    area = area or AreaFactory()
    group = SpareGroup.objects.create(
        site=area.site, name=f"G{area.pk}", needed_running=needed
    )
    return [
        PositionFactory(
            area=area,
            tag=f"P-1{letter}",
            spare_group=group,
            stopped_cost_per_hour=cost,
            **more,
        )
        for letter in "ABCD"[:size]
    ]


def stop(position, begin, end=None, number=None, **more):
    """A stoppage from hour to hour after BEGIN; without an end it is open."""
    if number:
        more["number"] = number
    return RepairFactory(
        position=position,
        reported_at=at(begin),
        stopped_at=at(begin),
        returned_at=None if end is None else at(end),
        **more,
    )


def line(repair, amount, **more):
    return CostLineFactory(
        repair=repair, amount=amount, kind=CostKind.LOST_PRODUCTION, **more
    )


def report_of(user, window=MARCH, now=NOW, **place):
    return lost_production_report(Scope(user, window, **place), now)


def said(report):
    """What is said of each stoppage, by number."""
    words = Words(report.losses)
    return {
        stoppage.number: words.reckoning(stoppage).replace("\u00a0", " ")
        for stoppage in Stoppage.of(report.rows)
    }
