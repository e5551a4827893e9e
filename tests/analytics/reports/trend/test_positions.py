"""Positions tested one by one."""

import pytest

from analytics.reports.trend.histories import histories_load
from analytics.reports.trend.positions import position_trends
from tests.analytics.trend_plant import (
    IMPROVING,
    STEADY,
    WORSENING,
    question,
    repaired,
)

pytestmark = pytest.mark.django_db


def trends(user):
    rows = position_trends(histories_load(question(user)))
    return {row.tag: row for row in rows}


def test_a_clear_trend_stands_out_among_steady_positions(engineer):
    repaired(WORSENING, tag="W")
    repaired(IMPROVING, tag="I")
    repaired(STEADY, tag="S")
    found = trends(engineer)
    assert {tag for tag, row in found.items() if row.stands_out} == {"W", "I"}
    assert found["W"].direction == "worsening"
    assert found["I"].direction == "improving"
    assert list(found)[-1] == "S"
    assert all(row.adjusted >= row.p_value for row in found.values())


def test_a_weak_trend_is_lost_among_many_steady_positions(engineer):
    repaired((500, 800, 950, 1000, 1060), tag="W")
    assert trends(engineer)["W"].stands_out
    for _ in range(12):
        repaired(STEADY)
    assert not trends(engineer)["W"].stands_out


def test_few_events_are_not_tested(engineer):
    repaired((1000, 1050, 1090), tag="W")
    assert trends(engineer) == {}


def test_tests_that_point_in_two_ways_give_no_trend(engineer):
    # The middle lies early, the logarithms late.
    repaired((400, 420, 440, 460, 480, 500, 520), tag="M")
    assert trends(engineer)["M"].p_value == 1.0
