import json

import numpy as np
import pytest
from scipy import stats

from analytics.judging.expectation import FrozenExpectation, freeze
from analytics.life.errors import InvalidSample


def one_pool(alpha=2.0, mean=1.0, events=(4,), exposures=(3.0,)):
    return FrozenExpectation((1.0,), (alpha,), (mean,), events, exposures, 1.0, 10)


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


@pytest.mark.parametrize("bad", [-1, 0.5])
def test_counts_that_are_none_are_refused(bad):
    with pytest.raises(InvalidSample):
        freeze([bad, 1], [1.0, 1.0], [True, False])
