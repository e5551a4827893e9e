import numpy as np
import pytest
from scipy import stats

from analytics.judging.expectation import FrozenExpectation
from analytics.judging.verdict import Finding, judge

# Rates known but for little: 2 a year each for five units.
KNOWN = FrozenExpectation(
    (1.0,), (1e7,), (2.0,), (6,) * 5, (3.0,) * 5, equal_rate=1.0, equal_events=3000
)
YEAR = [1.0] * 5


def judged(events, *, untreated=1000, is_due=True, frozen=KNOWN, **more):
    return judge(frozen, events, YEAR, untreated, 1000.0, is_due=is_due, **more)


def test_few_events_after_are_a_success():
    found = judged(4)
    assert found.finding is Finding.WORKS
    assert found.chance == pytest.approx(stats.poisson.cdf(4, 10), rel=1e-3)
    assert found.expected == pytest.approx(10)
    assert found.ratio == pytest.approx(0.4)
    assert found.ratio_interval.high < 1


def test_the_interval_of_the_ratio_is_that_of_a_poisson_count_where_rates_are_known():
    limits = judged(4).ratio_interval
    low, high = stats.chi2.ppf([0.05, 0.95], [8, 10]) / 2 / 10
    assert (limits.low, limits.high) == pytest.approx((low, high), rel=1e-3)


def test_as_many_events_as_before_do_not_keep_the_promise():
    found = judged(10)
    assert found.finding is Finding.DOES_NOT
    assert found.ratio_interval.low > 0.5


def test_between_both_nothing_is_proven():
    found = judged(7)
    assert found.finding is Finding.UNPROVEN
    assert found.reason == "Both no change and the promised effect explain the count."


def test_what_the_whole_works_did_is_no_success():
    found = judged(4, untreated=400)
    assert found.chance <= 0.05 < found.chance_beside_equals
    assert found.finding is Finding.UNPROVEN
    assert "so had the untreated equals" in found.reason


def test_before_the_planned_date_there_is_only_description():
    found = judged(0, is_due=False)
    assert found.finding is Finding.TOO_EARLY
    assert not found.is_final
    assert found.chance < 0.001


def test_too_little_to_expect_proves_nothing_even_without_an_event():
    found = judge(KNOWN, 0, [0.2] * 5, 0, 0.0, is_due=True)
    assert found.finding is Finding.UNPROVEN
    assert found.reason.startswith("So few events")
    assert found.against_equals is None
    assert found.ratio_interval.low == 0.0


def test_a_modest_promise_is_kept_by_more_events():
    assert judged(10, promised=0.8).finding is Finding.UNPROVEN


def test_the_plain_rates_after_stand_beside_it():
    ratio = judged(4).against_equals
    assert ratio.ratio == pytest.approx((4 / 5) / (1000 / 1000))


def test_a_rate_known_from_few_events_needs_fewer_events_after():
    vague = FrozenExpectation((1.0,), (2.0,), (2.0,), (2,) * 5, (1.0,) * 5, 1.0, 3000)
    assert vague.expected(YEAR) == pytest.approx(10)
    assert judged(4, frozen=vague).chance > judged(4).chance
    spread = judged(4, frozen=vague).expected_interval
    assert np.diff(spread) > np.diff(judged(4).expected_interval)
