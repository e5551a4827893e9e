import numpy as np
import pytest
from scipy import stats

from analytics.money.energy import (
    AsNew,
    PumpReading,
    efficiency_drop,
    yearly_cost_of_drop,
)
from analytics.money.errors import DropNotClear, InvalidFigure, TooLittleData

CURVE = AsNew([(80, 0.68), (100, 0.74), (120, 0.72)])


def reading(flow, head, efficiency, density=1000.0):
    """A reading made to have an efficiency."""
    hydraulic = density * 9.80665 * flow / 3600 * head / 1000
    return PumpReading(flow, head, density, hydraulic / efficiency)


WORN = [reading(100, 50, 0.68), reading(101, 49.5, 0.67), reading(99, 50.5, 0.69)]


def test_hydraulic_power_and_efficiency_by_hand():
    """100 m3/h of water by 50 m: 9.80665 x 50 / 3.6 x 0.1 kW."""
    one = PumpReading(100, 50, 1000, 20)
    assert one.hydraulic_power_kw == pytest.approx(13.6203, abs=1e-4)
    assert one.efficiency == pytest.approx(0.681017, abs=1e-6)


def test_drop_is_against_as_new_at_the_flow_of_each_reading():
    drop = efficiency_drop(WORN, CURVE)
    fresh = [0.74, 0.74 - 0.02 / 20, 0.74 - 0.06 / 20]
    drops = np.array(fresh) - [0.68, 0.67, 0.69]
    assert drop.as_new == pytest.approx(np.mean(fresh))
    assert drop.now == pytest.approx(0.68)
    assert drop.drop.value == pytest.approx(drops.mean())
    expected = stats.t.interval(0.9, 2, drops.mean(), stats.sem(drops))
    limits = drop.drop.interval
    assert (limits.low, limits.high) == pytest.approx(expected)
    assert drop.used == (0, 1, 2)
    assert drop.left_out == ()


def test_excess_power_is_what_the_pump_as_new_would_not_take():
    drop = efficiency_drop([reading(100, 50, 0.68)] * 3, CURVE)
    power = 13.62035
    assert drop.excess_power_kw.value == pytest.approx(
        power / 0.68 - power / 0.74, rel=1e-5
    )


def test_readings_at_another_flow_are_left_out():
    drop = efficiency_drop([*WORN, reading(120, 42, 0.5)], CURVE)
    assert drop.used == (0, 1, 2)
    assert drop.left_out == (3,)
    assert drop.now == pytest.approx(0.68)


def test_fewer_than_three_at_one_flow_are_refused():
    with pytest.raises(TooLittleData, match="2 of 2 readings are at one flow; 3 are"):
        efficiency_drop(WORN[:2], CURVE)
    apart = [*WORN[:2], reading(80, 60, 0.6), reading(115, 45, 0.6)]
    with pytest.raises(TooLittleData, match="2 of 4 readings"):
        efficiency_drop(apart, CURVE)
    with pytest.raises(TooLittleData, match="0 of 0 readings"):
        efficiency_drop([], CURVE)


def test_a_drop_within_the_spread_of_the_readings_is_refused():
    scattered = [reading(100, 50, share) for share in (0.70, 0.74, 0.77)]
    with pytest.raises(DropNotClear, match="0.3 points is not larger than the spread"):
        efficiency_drop(scattered, CURVE)
    better = [reading(100, 50, share) for share in (0.78, 0.78, 0.78)]
    with pytest.raises(DropNotClear, match="mean drop of -4.0 points"):
        efficiency_drop(better, CURVE)


def test_cost_of_the_drop_by_hand():
    drop = efficiency_drop(WORN, CURVE)
    cost = yearly_cost_of_drop(drop, 8000, 0.12, motor_efficiency=0.96)
    per_kw = 8000 * 0.12 / 0.96
    assert cost.value == pytest.approx(drop.excess_power_kw.value * per_kw)
    assert cost.interval.low == pytest.approx(drop.excess_power_kw.interval.low * 1000)
    assert cost.interval.low < cost.value < cost.interval.high


def test_as_new_is_straight_between_its_points_and_unknown_beyond():
    assert CURVE.efficiency_at(110) == pytest.approx(0.73)
    assert CURVE.efficiency_at(124) == pytest.approx(0.72)
    assert AsNew([(100, 0.7)]).efficiency_at(103) == pytest.approx(0.7)
    with pytest.raises(TooLittleData, match="reach from 80 to 120 m3/h"):
        CURVE.efficiency_at(130)


@pytest.mark.parametrize(
    ("ask", "sentence"),
    [
        (lambda: AsNew([]).efficiency_at(5), "not known at any flow"),
        (lambda: AsNew([(5, 0.7), (5, 0.6)]).efficiency_at(5), "the same flow"),
        (lambda: AsNew([(5, 70)]).efficiency_at(5), "not be above 1, which is 100 %"),
        (lambda: efficiency_drop(WORN, CURVE, 0), "tolerance of flow"),
        (lambda: efficiency_drop(WORN, CURVE, confidence=2), "confidence must lie"),
        (lambda: PumpReading(1, 50, 1000, 0.01).efficiency, "check flow, head, dens"),
        (lambda: PumpReading(1, -5, 1000, 1).hydraulic_power_kw, "head must be above"),
        (
            lambda: yearly_cost_of_drop(efficiency_drop(WORN, CURVE), 9000, 0.1),
            "no more than 8784 hours",
        ),
        (
            lambda: yearly_cost_of_drop(efficiency_drop(WORN, CURVE), 8000, -0.1),
            "price of energy must be zero or more",
        ),
    ],
)
def test_refusals_are_sentences(ask, sentence):
    with pytest.raises(InvalidFigure, match=sentence):
        ask()
