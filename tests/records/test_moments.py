"""Moments read as numbers say the same as those read one by one."""

from datetime import UTC, date, datetime

import pandas as pd
import pytest
from django.db.models.functions import Coalesce

from plant.models import Position
from records.counting import rules_by_site
from records.models import Repair
from records.selectors.events import counted_events
from records.selectors.moments import Microseconds, moments_counted
from tests.factories.plant import AreaFactory, PositionFactory, SiteFactory
from tests.factories.records import RepairFactory

pytestmark = pytest.mark.django_db
MOMENTS = [
    datetime(1969, 12, 31, 23, 59, 59, 999999, tzinfo=UTC),
    datetime(2024, 2, 29, 12, 30, 15, 70, tzinfo=UTC),
    datetime(2024, 7, 1, tzinfo=UTC),
    datetime(2024, 7, 1, 0, 0, 0, 120000, tzinfo=UTC),
]


def read(*expressions):
    return list(Repair.objects.order_by("reported_at").values_list(*expressions))


def test_each_moment_comes_to_the_microsecond():
    for moment in MOMENTS:
        RepairFactory(reported_at=moment)
    numbers = pd.Series([row[0] for row in read(Microseconds("reported_at"))])
    assert moments_counted(numbers).tolist() == [pd.Timestamp(m) for m in MOMENTS]


def test_no_moment_stays_none_and_another_may_stand_for_it():
    RepairFactory(reported_at=MOMENTS[1], returned_at=None)
    alone, instead = read(
        Microseconds("returned_at"),
        Microseconds(Coalesce("returned_at", "reported_at")),
    )[0]
    assert alone is None
    found = moments_counted(pd.Series([alone, instead]))
    assert found.isna().tolist() == [True, False]
    assert found[1] == pd.Timestamp(MOMENTS[1])


def test_a_moment_of_another_age_is_cut():
    far = pd.Series([datetime(9999, 1, 1, tzinfo=UTC).timestamp() * 1e6])
    assert moments_counted(far)[0] == pd.Timestamp("2200-01-01", tz="UTC")


def test_an_event_knows_its_moment_its_day_at_the_site_and_its_state(engineer):
    site = SiteFactory(time_zone="Europe/Amsterdam")
    position = PositionFactory(area=AreaFactory(site=site))
    late = datetime(2024, 6, 30, 23, 30, tzinfo=UTC)
    RepairFactory(
        position=position,
        reported_at=late,
        returned_at=None,
        operating_state="starting",
    )
    events = counted_events(
        Position.objects.all(),
        rules_by_site([site]),
        since=date(2024, 7, 1),
        until=date(2024, 7, 1),
    )
    event = events.to_dict("records")[0]
    assert event["reported_s"] == late.timestamp()
    assert event["day"] == event["back_day"] == date(2024, 7, 1).toordinal()
    assert event["operating_state"] == "starting"
