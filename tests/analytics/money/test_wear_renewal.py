import pytest
from hypothesis import given
from hypothesis import strategies as st

from analytics.life.results import Estimate, Interval
from analytics.money.errors import InvalidFigure
from analytics.money.wear_renewal import wear_renewal


def drop(value, low, high):
    return Estimate(value, Interval(low, high, 0.9, "made up"))


def test_a_lasting_gain_pays_back_cost_over_gain():
    renewal = wear_renewal(drop(3000, 2000, 4000), 6000, 5)
    assert renewal.payback_years == pytest.approx(2)
    interval = renewal.payback_interval
    assert (interval.low, interval.high) == pytest.approx((1.5, 3))
    assert renewal.saving.value == 15_000
    assert renewal.verdict == "pays"


def test_a_fading_gain_agrees_with_adding_up_days():
    gain, wear = 3000.0, 4.0
    renewal = wear_renewal(drop(gain, gain, gain), 4000, 10, wear_years=wear)
    step, time, saved = 1e-4, 0.0, 0.0
    while saved < 4000:
        saved += gain * (1 - time / wear) * step
        time += step
    assert renewal.payback_years == pytest.approx(time, abs=1e-3)
    assert renewal.saving.value == pytest.approx(gain * wear / 2)


def test_a_share_recovered_lowers_the_gain():
    renewal = wear_renewal(drop(3000, 2000, 4000), 6000, 5, recovered=0.5)
    assert renewal.payback_years == pytest.approx(4)
    assert renewal.payback_interval.high == float("inf")
    assert renewal.verdict == "not clear"


def test_what_never_comes_back_does_not_pay():
    renewal = wear_renewal(drop(500, -100, 900), 6000, 5)
    assert renewal.payback_years is None
    assert renewal.verdict == "does not pay"
    fading = wear_renewal(drop(3000, 2900, 3100), 6500, 10, wear_years=4)
    assert fading.payback_years is None
    assert fading.verdict == "does not pay"


@given(
    gain=st.floats(1, 1e5),
    cost=st.floats(1, 1e5),
    horizon=st.floats(0.5, 20),
    wear=st.floats(0.5, 20),
)
def test_wear_never_brings_payback_nearer(gain, cost, horizon, wear):
    lasting = wear_renewal(drop(gain, gain, gain), cost, horizon)
    fading = wear_renewal(drop(gain, gain, gain), cost, horizon, wear_years=wear)
    assert fading.saving.value <= lasting.saving.value
    if fading.payback_years is not None:
        assert lasting.payback_years <= fading.payback_years * (1 + 1e-6)
        assert fading.payback_years <= horizon * (1 + 1e-6)


@pytest.mark.parametrize(
    ("settings", "sentence"),
    [
        ({"cost_of_renewal": 0}, "cost of the renewal must be above zero"),
        ({"horizon_years": -1}, "horizon must be above zero"),
        ({"recovered": 1.1}, "share recovered must not be above 1"),
        ({"wear_years": 0}, "time to wear back must be above zero"),
    ],
)
def test_refusals_are_sentences(settings, sentence):
    usual = {"cost_of_renewal": 100, "horizon_years": 5}
    with pytest.raises(InvalidFigure, match=sentence):
        wear_renewal(drop(30, 20, 40), **(usual | settings))
