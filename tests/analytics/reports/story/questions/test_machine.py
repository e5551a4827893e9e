"""Rules about the machine: flow, shaft, vibration."""

from dataclasses import replace

import pytest

from analytics.reports.story.questions.machine import (
    low_flow,
    soft_shaft,
    vibration_rising,
)
from analytics.reports.story.readings import Rise

RISE = Rise(
    "Drive end, horizontal", readings=12, points=2, before=3.0, now=4.5, p_value=0.001
)


def test_a_flow_below_seven_tenths_asks_for_a_hydraulic_cause():
    question = low_flow(42.0, None, 100.0)
    assert "hydraulic" in question.asks
    assert "42\u00a0% of best-efficiency flow" in question.evidence


def test_what_was_read_goes_before_what_is_recorded():
    assert low_flow(95.0, 60.0, 100.0) is not None
    assert low_flow(50.0, 90.0, 100.0) is None


@pytest.mark.parametrize(
    "flows", [(70.0, None, 100.0), (None, None, 100.0), (40.0, None, 0.0)]
)
def test_seven_tenths_and_what_is_not_known_ask_nothing(flows):
    assert low_flow(*flows) is None


def test_a_soft_shaft_asks_only_where_repairs_are_twice_those_of_the_peers():
    assert soft_shaft(3.1, fails_too_often=True) is not None
    assert soft_shaft(3.1, fails_too_often=False) is None
    assert soft_shaft(1.9, fails_too_often=True) is None
    assert soft_shaft(None, fails_too_often=True) is None


def test_the_largest_rise_is_named():
    other = replace(RISE, point="Non-drive end, vertical", now=6.0)
    question = vibration_rising([RISE, other])
    assert question.evidence.startswith("Non-drive end, vertical: from 3.0 to 6.0 mm/s")


@pytest.mark.parametrize(
    "calm",
    [replace(RISE, now=3.6), replace(RISE, p_value=0.02), replace(RISE, points=20)],
)
def test_a_small_rise_or_one_by_chance_asks_nothing(calm):
    assert vibration_rising([calm]) is None
