"""Positions with repairs on given days, and questions about them."""

from datetime import UTC, date, datetime, timedelta

from analytics.exposure import Window
from analytics.forms.period import EARLIEST
from analytics.reports.trend.question import TrendQuestion, TrendScope
from tests.factories.plant import PositionFactory
from tests.factories.records import RepairFactory

BEGAN = datetime(2020, 1, 1, tzinfo=UTC)
AS_OF = date(2022, 12, 31)
DAY = timedelta(days=1)
# Days on record of a position watched for 1,096 days, up to AS_OF.
WORSENING = (600, 800, 900, 980, 1030, 1060, 1080, 1090)
IMPROVING = (5, 12, 30, 60, 110, 180, 300, 500)
STEADY = (90, 240, 350, 500, 620, 760, 880, 1010)


def repaired(days, **facts):
    """A position in service since 2020, repaired on those days on record."""
    position = PositionFactory(**facts)
    for day in days:
        moment = BEGAN + (day + 0.5) * DAY
        RepairFactory(
            position=position,
            reported_at=moment,
            stopped_at=moment,
            returned_at=moment + DAY,
        )
    return position


def question(user, *, position=None, end=AS_OF, **how):
    scope = TrendScope(user, Window(EARLIEST, end), position=position)
    return TrendQuestion(scope, **how)
