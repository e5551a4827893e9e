import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from analytics.money.errors import InvalidFigure
from analytics.money.payback import (
    discounted_payback,
    payback_each,
    simple_payback,
)

GAINS = st.lists(st.floats(0, 1000), min_size=1, max_size=20)
CONVENTIONS = ["interpolated", "continuous", "whole_years"]


def naive_payback(flows):
    """Walk the year in thousandths and keep the last rise to zero."""
    total, found = flows[0], 0.0 if flows[0] >= 0 else None
    for year, flow in enumerate(flows[1:]):
        for step in range(1000):
            before, total = total, total + flow / 1000
            if before < 0 <= total:
                found = year + (step + 1) / 1000
            if total < 0:
                found = None
    return found


@pytest.mark.parametrize(
    "flows",
    [
        [-100, 30, 30, 30, 30],
        [-100, 200, -150, 90],
        [-100, 20, 20],
        [-100, 0, 0, 500],
        [-100, -50, 100, 100],
        [100, -50],
        [10, -50, 50],
    ],
)
def test_simple_payback_agrees_with_a_slow_walk(flows):
    expected = naive_payback(flows)
    found = simple_payback(flows).years
    assert found == (None if expected is None else pytest.approx(expected, abs=0.0011))


@given(gains=GAINS, more=st.floats(0, 500), year=st.integers(0, 19))
@pytest.mark.parametrize("convention", CONVENTIONS)
def test_a_higher_saving_never_pays_back_later(convention, gains, more, year):
    better = list(gains)
    better[year % len(gains)] += more
    flows = np.array([[-500.0, *gains], [-500.0, *better]])
    plain, improved = payback_each(flows, 0.08, convention=convention)
    assert improved <= plain + 1e-9


@given(gains=GAINS, rate=st.floats(0.0, 0.3))
def test_interest_never_brings_payback_nearer(gains, rate):
    flows = np.array([[-500.0, *gains]])
    assert payback_each(flows, rate)[0] >= payback_each(flows)[0] - 1e-9


@given(gains=GAINS, rate=st.floats(0.01, 0.3))
def test_conventions_stand_in_order(gains, rate):
    flows = np.array([[-500.0, *gains]])
    continuous, interpolated, whole = (
        payback_each(flows, rate, convention=convention)[0]
        for convention in ("continuous", "interpolated", "whole_years")
    )
    assert continuous <= interpolated + 1e-9
    assert interpolated <= whole + 1e-9


def test_many_at_once_agree_with_one_by_one():
    rng = np.random.default_rng(4)
    flows = np.column_stack([-rng.uniform(50, 300, 40), rng.normal(40, 60, (40, 6))])
    together = payback_each(flows, 0.1, "mid_year", "continuous")
    single = [
        discounted_payback(row, 0.1, "mid_year", "continuous").years for row in flows
    ]
    assert together.tolist() == [
        float("inf") if years is None else pytest.approx(years) for years in single
    ]
    assert 5 < sum(years is None for years in single) < 35


def test_what_a_late_start_leaves_of_a_year_is_spread_over_its_rest():
    """Half a year of lead, 100 a year: 50 in the first, all after month six."""
    payback = simple_payback([-25, 50, 100], lead_years=0.5)
    assert payback.years == pytest.approx(0.75)
    assert payback.months == pytest.approx(9.0)
    assert simple_payback([-120, 50, 100], lead_years=0.5).years == pytest.approx(1.7)


def test_continuous_payback_after_a_lead_time_agrees_with_the_closed_formula():
    rate, lead = 0.1, 0.4
    level = 100 * (1 - 1.1**-0.6) / (1 - 1.1**-1)
    found = discounted_payback(
        [-30, level, 100], rate, convention="continuous", lead_years=lead
    ).years
    # Money flows evenly from the end of the lead time on; first year only.
    share = 30 / (level / 1.1)
    expected = lead - np.log(1 - share * (1 - 1.1**-0.6)) / np.log(1.1)
    assert found == pytest.approx(expected)


def test_nothing_spent_is_paid_back_at_once():
    assert simple_payback([0, 10]).years == 0


def test_payback_on_the_last_day_counts_in_spite_of_rounding():
    assert simple_payback([-0.3, 0.1, 0.1, 0.1]).years == pytest.approx(3)


@pytest.mark.parametrize(
    ("flows", "reason"),
    [
        ([-100, 30, 30], "Over 2 years only 60\u00a0% of what is spent comes back."),
        ([-100, -5, 2], "Over 2 years nothing comes back; costs rise."),
        ([-100, 200, -150], "later costs take it away again"),
        ([10, -50], "Later costs are higher"),
    ],
)
def test_never_has_a_reason(flows, reason):
    payback = simple_payback(flows)
    assert payback.years is None
    assert payback.months is None
    assert reason in payback.reason


def test_the_reason_of_discounted_payback_says_so():
    payback = discounted_payback([-100, 55, 55], 0.1)
    assert payback.reason == (
        "Over 2 years only 95\u00a0%, discounted, of what is spent comes back."
    )


def test_refusals_are_sentences():
    with pytest.raises(InvalidFigure, match="lead time must be zero or more"):
        simple_payback([-1, 2], lead_years=-1)
    with pytest.raises(InvalidFigure, match="No convention of payback"):
        discounted_payback([-1, 2], 0.1, convention="rough")
    with pytest.raises(InvalidFigure, match="at least one year"):
        simple_payback([-1])
    with pytest.raises(InvalidFigure, match="discount rate"):
        discounted_payback([-1, 2], -2)
