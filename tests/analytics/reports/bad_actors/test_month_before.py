"""New, still and recovered flags, from the records of both months."""

from datetime import date, timedelta

import pytest

from analytics.reports.bad_actors.changes import Change
from analytics.reports.bad_actors.month_before import flagged_by_change
from analytics.reports.bad_actors.units import bad_actor_service
from analytics.scope import Scope
from tests.analytics.reports.bad_actors.test_page import (
    QUESTION,
    YEAR,
    fleet,
    repairs_at,
    report_of,
)

pytestmark = pytest.mark.django_db
EVERY = 95
OLD = date(2023, 11, 1)


def background(positions):
    for position in positions:
        repairs_at(position, 1)


def worn(position, *, last):
    """Events beyond any doubt, the last of them on a day."""
    position.site.rework_window_days = 5
    position.site.save()
    for number in range(12):
        repairs_at(position, 1, first=last - timedelta(days=7 * number))


def units_of(report):
    return {unit.label: unit for unit in report.units}


def test_a_flag_of_this_month_is_new_and_an_older_one_still(engineer):
    positions = fleet(40)
    background(positions[2:12])
    worn(positions[0], last=date(2024, 12, 30))
    # A month before, only three of these had come.
    worn(positions[1], last=date(2024, 9, 1))
    for day in range(1, 29, 6):
        repairs_at(positions[0], 1, first=date(2024, 12, day))
    units = units_of(report_of(engineer))
    assert units["P-00"].is_flagged
    assert units["P-01"].change is Change.STILL
    assert flagged_by_change(bad_actor_service(Scope(engineer, YEAR))) == {
        unit.label: unit.change for unit in units.values() if unit.is_flagged
    }


def test_repairs_of_the_last_month_alone_make_a_new_flag(engineer):
    positions = fleet(40)
    background(positions[1:11])
    positions[0].site.rework_window_days = 1
    positions[0].site.save()
    for day in range(2, 30, 3):
        repairs_at(positions[0], 1, first=date(2024, 12, day))
    (flagged,) = report_of(engineer).flagged
    assert flagged.change is Change.NEW


def test_repairs_that_leave_the_window_make_it_recovered(engineer, engineer_client):
    positions = fleet(40)
    background(positions[1:11])
    positions[0].site.rework_window_days = 1
    positions[0].site.save()
    # Inside the year that ends a month before, outside of the one asked for.
    for day in range(2, 30, 3):
        repairs_at(positions[0], 1, first=date(2023, 12, day))
    report = report_of(engineer)
    assert report.flagged == []
    assert [unit.label for unit in report.recovered] == ["P-00"]
    text = engineer_client.get("/bad-actors/", QUESTION).content.decode()
    assert "Recovered: flagged a month before" in text


def test_who_left_service_while_flagged_is_named_as_gone(engineer):
    positions = fleet(40)
    background(positions[1:11])
    positions[0].site.rework_window_days = 1
    positions[0].out_of_service_on = date(2023, 12, 30)
    positions[0].site.save()
    positions[0].save()
    for day in range(2, 28, 2):
        repairs_at(positions[0], 1, first=date(2023, 12, day))
    report = report_of(engineer)
    assert report.gone == ("P-00",)
    assert report.recovered == []
