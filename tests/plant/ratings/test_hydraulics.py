"""Work on the liquid against numbers worked by hand."""

import pytest

from plant.ratings import (
    RatingError,
    Status,
    hydraulic_power_kw,
    off_best_efficiency,
    pump_efficiency,
)


def test_a_cubic_metre_of_water_a_second_lifted_a_metre():
    power = hydraulic_power_kw(3600, 1, 1000)
    assert power == pytest.approx(9.80665, rel=1e-12)
    assert (power.unit, power.status) == ("kW", Status.DERIVED)


def test_efficiency_is_hydraulic_over_shaft_power():
    """50 m3/h, 32 m, 1180 kg/m3: 1180 x 9.80665 x 50/3600 x 32 W = 5.1430 kW."""
    assert round(hydraulic_power_kw(50, 32, 1180).value, 4) == 5.1430
    assert pump_efficiency(50, 32, 1180, 7.5).value == pytest.approx(0.68574, abs=5e-6)


def test_more_power_out_than_in_is_refused():
    with pytest.raises(RatingError, match=r"5\.14 kW from a shaft that gives 5 kW"):
        pump_efficiency(50, 32, 1180, 5)


@pytest.mark.parametrize(
    ("numbers", "refusal"),
    [
        ((0, 32, 1000, 7.5), "The flow"),
        ((50, 0, 1000, 7.5), "The head"),
        ((50, 32, -1, 7.5), "The density"),
        ((50, 32, 1000, 0), "The shaft power"),
    ],
)
def test_efficiency_needs_every_measure(numbers, refusal):
    with pytest.raises(RatingError, match=f"{refusal} must be above zero"):
        pump_efficiency(*numbers)


def test_flow_below_best_efficiency_is_negative():
    assert off_best_efficiency(44.0, 50.0) == pytest.approx(-0.12)
    assert off_best_efficiency(55.0, 50.0) == pytest.approx(0.10)
    assert off_best_efficiency(0.0, 50.0) == -1


@pytest.mark.parametrize(("flow", "best"), [(None, 50.0), (44.0, None), (44.0, 0.0)])
def test_distance_from_best_efficiency_needs_both_flows(flow, best):
    assert off_best_efficiency(flow, best) is None


def test_a_best_efficiency_flow_below_zero_is_refused():
    with pytest.raises(RatingError, match="best-efficiency flow must be above zero"):
        off_best_efficiency(44.0, -50.0)
