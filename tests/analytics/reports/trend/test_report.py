"""The Trend page's answer: curve, peers and verdict."""

import numpy as np
import pandas as pd
import pytest

from analytics.life.recurrence import (
    laplace_test,
    mean_cumulative_function,
    power_law_fit,
)
from analytics.reports.trend.histories import Histories
from analytics.reports.trend.question import TrendClock
from analytics.reports.trend.report import (
    level_at,
    trend_report,
    trend_verdict,
)
from tests.analytics.trend_plant import (
    IMPROVING,
    STEADY,
    WORSENING,
    question,
    repaired,
)
from tests.factories.plant import AreaFactory, DutyPeriodFactory, UserFactory

pytestmark = pytest.mark.django_db


def test_the_figures_are_those_of_the_statistics(engineer):
    for days in (WORSENING, IMPROVING, STEADY, ()):
        repaired(days)
    report = trend_report(question(engineer))
    lists, ends = [WORSENING, IMPROVING, STEADY, ()], [1096.0] * 4
    curve = mean_cumulative_function(zip(lists, ends, strict=True))
    assert report.group.curve.mean.tolist() == curve.mean.tolist()
    assert report.group.curve.upper.tolist() == curve.upper.tolist()
    assert report.verdict.laplace == laplace_test(lists, ends)
    assert report.verdict.power_law == power_law_fit(lists, ends)


@pytest.mark.parametrize(
    ("days", "direction"),
    [(WORSENING, "worsening"), (IMPROVING, "improving"), (STEADY, "")],
)
def test_a_position_is_told_to_grow_worse_or_better_or_neither(
    engineer, days, direction
):
    report = trend_report(question(engineer, position=repaired(days)))
    assert report.verdict.direction == direction
    assert report.group.events == 8
    assert report.own_trend.events == 8


def test_two_events_give_tests_but_no_power_law(engineer):
    report = trend_report(question(engineer, position=repaired((900, 1000))))
    assert report.verdict.laplace is not None
    assert report.verdict.power_law is None
    assert report.verdict.power_law_refusal == (
        "A power law needs at least 3 events; there are 2."
    )
    assert not report.verdict.fits


def test_a_whole_plant_of_events_gets_a_power_law_too():
    events = np.linspace(1.0, 1000.0, 20_000)
    units = pd.DataFrame({"length": [1096.0]})
    table = pd.DataFrame({"row": 0, "age": events})
    found = trend_verdict(Histories(TrendClock.DAYS, units, table), 0.90)
    assert found.laplace.events == 20_000
    assert found.power_law.events == 20_000


def test_one_event_gives_a_refusal_in_words(engineer):
    report = trend_report(question(engineer, position=repaired((900,))))
    assert report.verdict.refusal == (
        "A trend needs at least two events within the watch."
    )
    assert report.group.curve is not None


def test_no_event_gives_no_curve(engineer):
    report = trend_report(question(engineer, position=repaired(())))
    assert report.group.refusal == "No unit has an event, so there is no curve."


def test_bursts_do_not_fit_the_power_law(engineer):
    days = (100, 101, 102, 103, 104, 105, 900, 901, 902, 903, 904, 905)
    assert not trend_report(question(engineer, position=repaired(days))).verdict.fits


def test_peers_are_like_positions_without_the_one_asked_for(engineer):
    area = AreaFactory()
    subject = repaired(WORSENING, area=area, hazards=["corrosive"])
    for _ in range(9):
        repaired((500,), area=area, hazards=["corrosive"])
    repaired((5, 6, 7), area=area, hazards=["hot"])
    spare = repaired((5,), area=area, hazards=["corrosive"])
    DutyPeriodFactory(position=spare, running_share=0.1)
    peers = trend_report(question(engineer, position=subject)).peers
    assert peers.name == f"Peers: {area.site.name}, corrosive, duty"
    assert (peers.positions, peers.events) == (9, 9)
    assert level_at(peers.curve, 499) is None
    assert level_at(peers.curve, 500)[0] == 1


def test_a_position_alone_has_no_peers(engineer):
    assert trend_report(question(engineer, position=repaired(STEADY))).peers is None


def test_peers_are_of_sites_that_the_user_sees(engineer):
    subject = repaired(STEADY)
    repaired(STEADY)
    user = UserFactory(sees_all_sites=False)
    user.sites.add(subject.site)
    assert trend_report(question(user, position=subject)).peers is None
    assert trend_report(question(user)).group.positions == 1
