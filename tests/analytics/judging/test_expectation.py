import json

import numpy as np
import pytest
from scipy import stats

from analytics.judging.expectation import FrozenExpectation, freeze
from analytics.life.errors import InvalidSample


def one_pool(alpha=2.0, mean=1.0, events=(4,), exposures=(3.0,)):
    return FrozenExpectation((1.0,), (alpha,), (mean,), events, exposures, 1.0, 10)


def two_groups(events, exposures):
    usual, worse = ((2.0,), (1.0,)), ((3.0,), (5.0,))
    return FrozenExpectation((1.0,), *usual, events, exposures, 1.0, 10, (0.1,), *worse)


def test_one_unit_in_one_pool_is_negative_binomial():
    frozen = one_pool()
    shape, rate, after = 6.0, 5.0, 1.5
    chances = frozen.count_chances([after])
    expected = stats.nbinom.pmf(np.arange(20), shape, rate / (rate + after))
    assert chances[:20] == pytest.approx(expected, abs=1e-12)
    assert chances.sum() == pytest.approx(1.0)
    assert frozen.expected([after]) == pytest.approx(shape / rate * after)


def test_unlike_units_add_up_as_their_counts_convolved():
    frozen = one_pool(events=(4, 0), exposures=(3.0, 1.0))
    parts = [
        stats.nbinom.pmf(np.arange(60), 6.0, 5.0 / (5.0 + 1.0)),
        stats.nbinom.pmf(np.arange(60), 2.0, 3.0 / (3.0 + 2.0)),
    ]
    chances = frozen.count_chances([1.0, 2.0])
    assert chances[:40] == pytest.approx(np.convolve(*parts)[:40], abs=1e-12)


def test_scales_multiply_every_rate():
    frozen = one_pool()
    assert frozen.count_chances([1.0], (0.5,))[:8] == pytest.approx(
        frozen.count_chances([0.5])[:8], abs=1e-12
    )


def test_the_worst_of_equal_units_is_drawn_to_the_others():
    events = [6] + [2] * 80
    frozen = freeze(events, [1.0] * 81, [True] + [False] * 80)
    assert 2.0 < frozen.rates()[0] < 3.0
    assert frozen.equal_events == 160
    assert frozen.equal_rate == pytest.approx(2.0, rel=0.05)


def test_where_rates_spread_the_worst_is_believed():
    events = [20] + [0, 1, 2, 4, 8, 10] * 14
    frozen = freeze(events, [1.0] * 85, [True] + [False] * 84)
    assert frozen.rates()[0] > 15


def test_one_unit_of_two_groups_is_a_mixture_of_negative_binomials():
    frozen = two_groups(events=(4,), exposures=(3.0,))
    usual, worse = stats.nbinom(2, 2 / 5), stats.nbinom(3, 0.6 / 3.6)
    odds = 0.9 * usual.pmf(4), 0.1 * worse.pmf(4)
    share = odds[1] / sum(odds)
    assert frozen.worse_chances() == pytest.approx([share])
    assert frozen.rates() == pytest.approx([(1 - share) * 6 / 5 + share * 7 / 3.6])
    after = 1.5
    expected = (1 - share) * stats.nbinom.pmf(np.arange(20), 6, 5 / (5 + after))
    expected += share * stats.nbinom.pmf(np.arange(20), 7, 3.6 / (3.6 + after))
    assert frozen.count_chances([after])[:20] == pytest.approx(expected, abs=1e-9)


def test_unlike_units_of_two_groups_add_up_as_their_counts_convolved():
    records, after = [(4, 3.0), (4, 3.0), (0, 3.0), (9, 1.0)], [1.0, 1.0, 1.0, 2.0]
    parts = [
        two_groups((events,), (time,)).count_chances([later])
        for (events, time), later in zip(records, after, strict=True)
    ]
    expected = np.ones(1)
    for part in parts:
        expected = np.convolve(expected, part)
    events, times = zip(*records, strict=True)
    chances = two_groups(events, times).count_chances(after)
    assert chances[:60] == pytest.approx(expected[:60], abs=1e-8)


def test_moments_are_those_of_the_counts_without_their_own_chance():
    frozen = freeze([17, 2, 0] + [1, 2, 3] * 20, [3.0] * 63, [True] * 2 + [False] * 61)
    after = [1.0, 0.5]
    chances = frozen.count_chances(after)
    counts = np.arange(chances.size)
    mean, variance = frozen.moments(after)
    assert mean == pytest.approx(chances @ counts) == frozen.expected(after)
    spread = chances @ counts**2 - (chances @ counts) ** 2
    assert mean + variance == pytest.approx(spread, rel=1e-6)


def test_a_true_bad_actor_keeps_its_record_though_its_equals_are_alike():
    events = [17] + [2, 1, 3] * 30
    frozen = freeze(events, [3.0] * 91, [True] + [False] * 90)
    assert frozen.worse_chances()[0] > 0.99
    assert frozen.rates()[0] == pytest.approx(17 / 3, rel=0.1)
    assert frozen.equal_rate == pytest.approx(2 / 3, rel=0.05)


def test_the_worst_of_equal_units_is_hardly_taken_for_worse():
    counts = np.random.default_rng(8).poisson(1.8, 160)
    frozen = freeze(counts, [3.0] * 160, counts == counts.max())
    assert frozen.worse_chances().max() < 0.2
    assert frozen.rates().max() < 1.5 * counts.mean() / 3


def test_units_without_any_event_expect_few_and_not_none():
    frozen = freeze([0] * 10, [1.0] * 10, [True] + [False] * 9)
    assert 0 < frozen.expected([1.0]) < 0.2


def test_all_treated_leaves_no_equals():
    frozen = freeze([1, 2, 3], [1.0, 1.0, 1.0], [True, True, True])
    assert (frozen.equal_rate, frozen.equal_events) == (0.0, 0)


def test_it_goes_through_json_and_back():
    frozen = freeze([3, 0, 1, 1], [1.0, 2.0, 1.0, 1.0], [True, True, False, False])
    stored = json.loads(json.dumps(frozen.as_record()))
    assert FrozenExpectation.from_record(stored) == frozen


def test_what_was_stored_before_there_were_worse_units_is_read_as_it_was():
    stored = {
        "weights": [0.25, 0.75],
        "alphas": [2.0, 4.0],
        "means": [1.0, 0.8],
        "events": [4, 0],
        "exposures": [3.0, 1.0],
        "equal_rate": 0.9,
        "equal_events": 30,
    }
    frozen = FrozenExpectation.from_record(stored)
    by_hand = 0.25 * 6 / 5 + 0.75 * 8 / 8, 0.25 * 2 / 3 + 0.75 * 4 / 6
    assert frozen.rates() == pytest.approx(by_hand)
    assert frozen.worse_chances().tolist() == [0.0, 0.0]
    assert (frozen.equal_rate, frozen.equal_events) == (0.9, 30)


@pytest.mark.parametrize("bad", [-1, 0.5])
def test_counts_that_are_none_are_refused(bad):
    with pytest.raises(InvalidSample):
        freeze([bad, 1], [1.0, 1.0], [True, False])
