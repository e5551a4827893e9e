import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from analytics.money.discounting import net_present_value
from analytics.money.errors import (
    InvalidFigure,
    NoInternalRate,
    SeveralInternalRates,
)
from analytics.money.internal_rate import internal_rate, internal_rate_each

TIMINGS = st.sampled_from(["end_of_year", "mid_year"])


@given(
    spent=st.floats(1, 1e6),
    gains=st.lists(st.floats(0, 1e6), min_size=1, max_size=30),
    timing=TIMINGS,
)
def test_net_present_value_is_zero_at_the_internal_rate(spent, gains, timing):
    assume(0.2 * spent < sum(gains) < 5 * spent)
    flows = [-spent, *gains]
    rate = internal_rate(flows, timing)
    assume(rate < 10)
    assert net_present_value(flows, rate, timing) == pytest.approx(0, abs=1e-6 * spent)


def bisected(flows):
    low, high = -0.99, 9.0
    for _ in range(200):
        middle = 0.5 * (low + high)
        worth = sum(flow / (1 + middle) ** year for year, flow in enumerate(flows))
        low, high = (middle, high) if worth > 0 else (low, middle)
    return middle


@pytest.mark.parametrize(
    "flows",
    [
        [-1000, 300, 300, 300, 300, 300],
        [-1000, -500, 0, 900, 900],
        [-1000, 100, 100],
        [0, -10, 40],
        [-5, 20],
    ],
)
def test_it_agrees_with_halving_the_range(flows):
    assert internal_rate(flows) == pytest.approx(bisected(flows), abs=1e-9)


def test_less_back_than_spent_is_a_negative_rate():
    assert internal_rate([-100, 50]) == pytest.approx(-0.5)


def test_a_rate_far_beyond_usual_ones_is_still_found():
    assert internal_rate([-1, 1000]) == pytest.approx(999)
    assert internal_rate([-1000.0] + [0.0] * 99 + [1.0]) == pytest.approx(
        1000 ** (-1 / 100) - 1
    )


@pytest.mark.parametrize(
    ("flows", "error", "sentence"),
    [
        ([-1, 3, -2.1], SeveralInternalRates, "change sign 2 times"),
        ([-100, 230, -132], SeveralInternalRates, "use the net present value"),
        ([-1, -1], NoInternalRate, "only comes or only goes"),
        ([0, 0], NoInternalRate, "only comes or only goes"),
        ([5, 1], NoInternalRate, "only comes or only goes"),
        ([100, -110], NoInternalRate, "a loan, not an investment"),
        ([-1e-9, 1e9], NoInternalRate, "beyond any sense"),
        ([-1e9, 1e-9], NoInternalRate, "beyond any sense"),
        ([-1], InvalidFigure, "at least one year"),
    ],
)
def test_refusals_are_sentences(flows, error, sentence):
    with pytest.raises(error, match=sentence):
        internal_rate(flows)


def test_an_unknown_convention_is_refused():
    with pytest.raises(InvalidFigure, match="No convention"):
        internal_rate([-1, 2], "monthly")


@pytest.mark.parametrize("timing", ["end_of_year", "mid_year"])
def test_many_at_once_agree_with_one_by_one(timing):
    rng = np.random.default_rng(2)
    flows = np.column_stack([-rng.uniform(50, 300, 50), rng.uniform(0, 80, (50, 6))])
    single = [internal_rate(row, timing) for row in flows]
    assert internal_rate_each(flows, timing) == pytest.approx(single, abs=1e-8)


def test_ends_of_the_range_are_named():
    flows = np.array([[-5.0, 0, 0], [-5, -1, -1], [0, 1, 1], [-1e9, 0, 1e-9]])
    found = internal_rate_each(flows)
    assert found[:3].tolist() == [-1, -1, np.inf]
    assert -1 < found[3] < -0.999999
    long = np.array([[-1e6, *[0.0] * 98, 1e6]])
    assert internal_rate_each(long)[0] == pytest.approx(0, abs=1e-9)
    with pytest.raises(InvalidFigure, match="No convention"):
        internal_rate_each(flows, "monthly")
