import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from analytics.money.errors import InvalidFigure
from analytics.money.event_rate import Gamma
from analytics.money.quantities import (
    Fixed,
    LogNormal,
    Triangular,
    draws,
    quantity_interval,
)

SHARES = np.linspace(0.001, 0.999, 99)


@given(
    low=st.floats(-100, 100),
    left=st.floats(0, 50),
    right=st.floats(0, 50),
)
def test_triangular_quantiles_are_those_of_scipy(low, left, right):
    width = left + right
    quantity = Triangular(low, low + left, low + width)
    if width < 1e-6:
        return
    expected = stats.triang.ppf(SHARES, left / width, low, width)
    assert quantity.quantile(SHARES) == pytest.approx(expected, abs=1e-6)


def test_log_normal_meets_its_estimate_and_both_limits():
    quantity = LogNormal(0.5, 0.2, 0.8, 0.90)
    found = quantity.quantile([0.05, 0.5, 0.95])
    assert found == pytest.approx([0.2, 0.5, 0.8])
    limits = quantity_interval(quantity)
    assert (limits.low, limits.high) == pytest.approx((0.2, 0.8))


def test_even_limits_give_the_plain_log_normal():
    quantity = LogNormal(2.0, 1.0, 4.0, 0.80)
    sigma = np.log(2) / stats.norm.ppf(0.9)
    expected = stats.lognorm.ppf(SHARES, sigma, scale=2.0)
    assert quantity.quantile(SHARES) == pytest.approx(expected)


def test_gamma_of_events_is_events_over_exposure_at_best():
    quantity = Gamma.from_events(14, 20.0)
    assert quantity.best == 0.7
    expected = stats.gamma.ppf(SHARES, 14.5, scale=1 / 20)
    assert quantity.quantile(SHARES) == pytest.approx(expected)


def test_no_events_leave_a_rate_possible():
    quantity = Gamma.from_events(0, 10.0)
    assert quantity.best == 0
    assert 0.1 < quantity.quantile(0.95) < 0.3


def test_gamma_of_a_pool_is_the_posterior_of_one_unit():
    quantity = Gamma.from_pool(2.0, 4.0, 3, 6.0)
    assert quantity.best == pytest.approx(0.5)
    assert quantity.quantile(0.5) == pytest.approx(stats.gamma.median(5, scale=0.1))


def test_draws_spread_as_the_quantity_says():
    drawn = draws(Triangular(0, 10, 50), 40_000, np.random.default_rng(3))
    assert drawn.mean() == pytest.approx(20, rel=0.01)
    assert drawn.std() == pytest.approx(stats.triang.std(0.2, 0, 50), rel=0.02)


def test_what_is_certain_still_takes_its_draw():
    one, other = np.random.default_rng(5), np.random.default_rng(5)
    assert (draws(Fixed(7), 10, one) == 7).all()
    draws(Triangular(0, 1, 2), 10, other)
    assert one.random() == other.random()


@pytest.mark.parametrize(
    ("quantity", "uncertain"),
    [
        (Fixed(3), False),
        (Triangular(2, 2, 2), False),
        (LogNormal(2, 2, 2), False),
        (Triangular(1, 2, 2), True),
        (LogNormal(2, 1, 2), True),
        (Gamma.from_events(1, 1), True),
    ],
)
def test_quantities_know_whether_they_are_uncertain(quantity, uncertain):
    assert quantity.uncertain is uncertain
    if not uncertain:
        assert quantity.quantile([0.1, 0.9]) == pytest.approx([quantity.best] * 2)


@pytest.mark.parametrize(
    ("ask", "sentence"),
    [
        (lambda: Fixed(float("inf")), "missing or infinite"),
        (lambda: Fixed("dear"), "not a number"),
        (lambda: Triangular(2, 1, 3), "must lie between low and high"),
        (lambda: LogNormal(1, 0, 2), "lower limit must be above zero"),
        (lambda: LogNormal(1, 0.5, float("inf")), "upper limit is missing"),
        (lambda: LogNormal(3, 1, 2), "must lie between its limits"),
        (lambda: LogNormal(1, 0.5, 2, 1.0), "confidence must lie between 0 and 1"),
        (lambda: Gamma.from_events(1.5, 2), "must be whole"),
        (lambda: Gamma.from_events(-1, 2), "must be whole"),
        (lambda: Gamma.from_events(1, 0), "exposure must be above zero"),
        (lambda: Gamma.from_pool(-3, 1, 1, 1), "must be above zero"),
        (lambda: Gamma(1, 1, -1), "must be zero or more"),
        (lambda: Fixed(1).quantile(1.0), "probability must lie between 0 and 1"),
        (lambda: quantity_interval(Fixed(1), 0), "must lie between 0 and 1"),
    ],
)
def test_refusals_are_sentences(ask, sentence):
    with pytest.raises(InvalidFigure, match=sentence):
        ask()
