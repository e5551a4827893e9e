from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from analytics.money.discounting import (
    annuity_factor,
    annuity_payment,
    discount_factors,
    net_present_value,
    present_value,
    savings_to_investment,
)
from analytics.money.errors import InvalidFigure

RATES = st.floats(-0.2, 0.5)
AMOUNTS = st.lists(st.floats(-1e6, 1e6), min_size=1, max_size=30)


def naive_present_value(amounts, rate, earlier):
    worth = 0.0
    for year, amount in enumerate(amounts, start=1):
        worth += amount / (1 + rate) ** (year - earlier)
    return worth


@given(amounts=AMOUNTS, rate=RATES)
def test_present_value_agrees_with_a_loop(amounts, rate):
    tolerance = pytest.approx(naive_present_value(amounts, rate, 0), rel=1e-9, abs=1e-3)
    assert present_value(amounts, rate) == tolerance
    middle = pytest.approx(naive_present_value(amounts, rate, 0.5), rel=1e-9, abs=1e-3)
    assert present_value(amounts, rate, "mid_year") == middle


@given(
    worth=st.floats(0, 1e7),
    rate=RATES,
    years=st.integers(1, 60),
    timing=st.sampled_from(["end_of_year", "mid_year"]),
)
def test_the_annuity_of_a_sum_is_worth_the_sum(worth, rate, years, timing):
    payment = annuity_payment(worth, rate, years, timing)
    again = present_value([payment] * years, rate, timing)
    assert again == pytest.approx(worth, rel=1e-9, abs=1e-9)


@given(rate=st.floats(0.001, 0.5), years=st.integers(1, 60))
def test_annuity_factor_is_the_closed_formula(rate, years):
    closed = (1 - (1 + rate) ** -years) / rate
    assert annuity_factor(rate, years) == pytest.approx(closed, rel=1e-9)
    middle = closed * (1 + rate) ** 0.5
    assert annuity_factor(rate, years, "mid_year") == pytest.approx(middle, rel=1e-9)


def test_without_interest_a_year_is_worth_a_year():
    assert annuity_factor(0, 7) == 7
    assert net_present_value([-100, 60, 60], 0) == 20


def test_money_of_the_ledger_is_taken_as_it_is():
    flows = [Decimal("-100.00"), Decimal("60.50"), Decimal("60.50")]
    assert net_present_value(flows, Decimal("0.10")) == pytest.approx(5.0)


def test_mid_year_money_is_worth_half_a_year_more():
    early, late = discount_factors(0.21, 3, "mid_year"), discount_factors(0.21, 3)
    assert early / late == pytest.approx([1.1, 1.1, 1.1])


def test_a_saving_above_the_rate_returns_more_than_was_spent():
    assert savings_to_investment([-100, 110], 0.05) == pytest.approx(110 / 105)


@pytest.mark.parametrize(
    ("ask", "sentence"),
    [
        (lambda: present_value([], 0.1), "for 1 to 100 years"),
        (lambda: present_value([1.0] * 102, 0.1), "for 1 to 100 years"),
        (lambda: present_value([None], 0.1), "yearly amounts is not a number"),
        (lambda: present_value([float("nan")], 0.1), "missing or infinite"),
        (lambda: present_value([1.0], 8 * 2), "discount rate must lie above -100 %"),
        (lambda: present_value([1.0], -1), "discount rate must lie above -100 %"),
        (lambda: present_value([1.0], 0.1, "monthly"), "is called 'monthly'"),
        (lambda: annuity_factor(0.1, 0), "must be whole, from 1 to 100"),
        (lambda: annuity_factor(0.1, 2.5), "must be whole, from 1 to 100"),
        (lambda: net_present_value([-1.0], 0.1), "at least one year"),
        (lambda: savings_to_investment([0, 1], 0.1), "money spent today must be above"),
    ],
)
def test_refusals_are_sentences(ask, sentence):
    with pytest.raises(InvalidFigure, match=sentence):
        ask()
