"""What worked, by kind of change: pooled counts with limits."""

from datetime import UTC, date, datetime

import numpy as np
import pytest

from analytics.judging.expectation import freeze
from analytics.judging.verdict import judge
from analytics.reports.actions.expectation import expectation_freeze
from analytics.reports.actions.judgement import judgement
from analytics.reports.actions.worked import count_moments, pooled_limits, worked
from analytics.reports.actions.worked_table import context
from records.action_choices import ActionState, ChangeMade, Verdict
from tests.analytics.reports.actions.fleet import (
    BEGINNING,
    DECIDED,
    DONE,
    fleet,
    repairs_spread,
)
from tests.factories.actions import ActionFactory
from tests.factories.plant import UserFactory

TODAY = date(2025, 1, 1)
DUE = date(2024, 2, 1)


def an_expectation(treated=5, size=40, seed=3):
    counts = np.random.default_rng(seed).poisson(3, size)
    chosen = np.zeros(size, dtype=bool)
    chosen[np.argsort(-counts)[:treated]] = True
    return freeze(counts.tolist(), [3.0] * size, chosen.tolist())


def test_mean_and_variance_are_those_of_the_exact_count_chances():
    expected, years = an_expectation(), [1.0, 1.0, 0.5, 1.0, 0.2]
    chances = expected.count_chances(years)
    counts = np.arange(chances.size)
    mean, variance = count_moments(expected, years)
    assert mean == pytest.approx(expected.expected(years))
    spread = float(chances @ counts**2 - (chances @ counts) ** 2)
    assert mean + variance == pytest.approx(spread, rel=1e-3)


@pytest.mark.parametrize("events", [0, 2, 6])
def test_the_limits_of_one_action_are_near_the_exact_ones(events):
    expected, years = an_expectation(), [1.0] * 5
    exact = judge(expected, events, years, 0, 0.0, is_due=True).ratio_interval
    low, high = pooled_limits(events, *count_moments(expected, years))
    assert high == pytest.approx(exact.high, rel=0.06)
    assert low == pytest.approx(exact.low, rel=0.06, abs=1e-9)


def test_more_actions_make_the_limits_narrower():
    mean, variance = count_moments(an_expectation(), [1.0] * 5)
    one = pooled_limits(3, mean, variance)
    four = pooled_limits(12, 4 * mean, 4 * variance)
    assert one[0] < four[0] < four[1] < one[1]


@pytest.fixture
def judged_plant(engineer):
    """Two changes of faces that halved the repairs; one of oil that did nothing."""
    positions = fleet(30)
    for position in positions:
        repairs_spread(position, 6, BEGINNING, DECIDED)
    for position in positions[10:]:
        repairs_spread(position, 2, DONE, DUE)
    for position in positions[:8]:
        repairs_spread(position, 1, DONE, DUE)
    for those, change in (
        (positions[:4], ChangeMade.ALIGNMENT),
        (positions[4:8], ChangeMade.ALIGNMENT),
        (positions[10:14], ChangeMade.OPERATION),
    ):
        action = ActionFactory(
            site=positions[0].site,
            positions=those,
            change_made=change,
            decided_at=datetime(2023, 1, 1, 8, tzinfo=UTC),
            state=ActionState.DONE,
            done_on=DONE,
            cost=500,
            currency="EUR",
        )
        expectation_freeze(by=engineer, action=action)
    return positions


def test_each_kind_of_change_is_pooled_over_its_actions(judged_plant, engineer):
    found = worked(engineer, TODAY)
    first, second = found.lines
    assert (first.change, len(first.effects), first.units) == (
        ChangeMade.ALIGNMENT,
        2,
        8,
    )
    assert (first.events, second.events) == (8, 8)
    assert first.expected == pytest.approx(16, rel=0.1)
    assert first.high < 1 < second.high
    assert first.costs == {"EUR": 1000}
    assert first.fewer_a_year == pytest.approx(8, rel=0.2)


def test_the_list_and_the_page_of_an_action_count_alike(judged_plant, engineer):
    for line in worked(engineer, TODAY).lines:
        for effect in line.effects:
            page = judgement(effect.action, TODAY)
            assert effect.after == page.after
            assert effect.expected == pytest.approx(page.judged.expected)
            assert effect.after.events == page.judged.events


def test_actions_before_their_date_are_left_out_and_counted(judged_plant, engineer):
    found = worked(engineer, date(2024, 1, 15))
    assert (found.lines, found.too_early) == ([], 3)
    assert "3 actions that are done" in context(found, see_costs=False)["too_early"]


def test_other_sites_are_not_counted(judged_plant):
    stranger = UserFactory(sees_all_sites=False, role="reliability engineer")
    assert worked(stranger, TODAY).lines == []


def test_verdicts_given_stand_in_the_list(judged_plant, engineer):
    action = worked(engineer, TODAY).lines[0].effects[0].action
    action.state, action.verdict = ActionState.JUDGED, Verdict.WORKS
    action.save()
    [row, _other] = context(worked(engineer, TODAY), see_costs=True)["rows"]
    assert row[9]["text"] == "1 works"
    assert row[10]["text"] == "EUR\u00a01,000.00"
    assert row[5]["flag"] == "beyond chance"


def test_the_site_is_loaded_once_for_all_its_actions(
    judged_plant, engineer, django_assert_max_num_queries
):
    with django_assert_max_num_queries(20):
        worked(engineer, TODAY)
