import pytest
from hypothesis import given
from hypothesis import strategies as st

from analytics.money.discounting import present_value
from analytics.money.errors import InvalidFigure
from analytics.money.inflation import (
    in_money_of_the_year,
    in_money_of_today,
    nominal_rate,
    real_rate,
)

RATES = st.floats(-0.2, 0.5)


@given(rate=RATES, inflation=RATES)
def test_real_and_nominal_rate_are_inverse(rate, inflation):
    assert nominal_rate(real_rate(rate, inflation), inflation) == pytest.approx(
        rate, abs=1e-12
    )


@given(
    amounts=st.lists(st.floats(-1e6, 1e6), min_size=1, max_size=30),
    real=RATES,
    inflation=RATES,
)
def test_worth_today_is_the_same_in_real_and_in_nominal_money(amounts, real, inflation):
    paid = in_money_of_the_year(amounts, inflation)
    nominal = nominal_rate(real, inflation)
    expected = pytest.approx(present_value(amounts, real), rel=1e-9, abs=1e-3)
    assert present_value(paid, nominal) == expected
    assert in_money_of_today(paid, inflation) == pytest.approx(amounts)


def test_two_years_of_ten_percent():
    assert in_money_of_the_year([100, 100], 0.10) == pytest.approx([110, 121])
    assert in_money_of_today([110, 121], 0.10) == pytest.approx([100, 100])
    assert real_rate(0.155, 0.05) == pytest.approx(0.10)


def test_inflation_out_of_range_is_refused():
    with pytest.raises(InvalidFigure, match="inflation must lie above -100 %"):
        real_rate(0.1, -1)
    with pytest.raises(InvalidFigure, match="real rate must lie above"):
        nominal_rate(11, 0.02)
