import numpy as np
import pytest

from analytics.life.errors import InvalidSample
from analytics.life.weibull import (
    conditional_failure,
    weibull_mean,
    weibull_reliability,
)


@pytest.mark.parametrize(
    ("shape", "scale", "mean", "reliability"),
    [(1.4, 25_000, 22_785.6, 0.7943), (1.3, 40_000, 36_943.1, 0.8703)],
)
def test_worked_lives(shape, scale, mean, reliability):
    assert round(weibull_mean(shape, scale), 1) == mean
    assert round(weibull_reliability(shape, scale, 8760), 4) == reliability


def test_constant_rate_has_no_memory():
    assert conditional_failure(1.0, 500.0, 0.0, 70.0) == pytest.approx(
        conditional_failure(1.0, 500.0, 9000.0, 70.0), rel=1e-9
    )


def test_tiny_chances_keep_their_digits():
    assert conditional_failure(1.0, 1e12, 0.0, 1.0) == pytest.approx(1e-12, rel=1e-9)


def test_chance_far_beyond_life_is_one():
    assert conditional_failure(50.0, 1.0, 0.5, 1e12) == 1.0


@pytest.mark.parametrize(
    "arguments", [(0, 1, 1, 1), (1, 0, 1, 1), (1, 1, -1, 1), (1, 1, 1, 0)]
)
def test_arguments_out_of_range_are_refused(arguments):
    with pytest.raises(InvalidSample):
        conditional_failure(*arguments)


def test_a_short_horizon_late_in_life_keeps_its_digits():
    chance = conditional_failure(2.0, 100.0, 1000.0, 1e-9)
    assert chance == pytest.approx(2.0 * 1000.0 / 100.0**2 * 1e-9, rel=1e-9)


def test_worked_ratios_of_a_life_with_shape_one_and_a_half():
    """Scale over B10 4.4828 and median over B10 3.5110; R(12) of 36 is 0.71653."""
    b10 = (-np.log(0.9)) ** (1 / 1.5)
    assert round(1.0 / b10, 4) == 4.4828
    assert round(np.log(2.0) ** (1 / 1.5) / b10, 4) == 3.5110
    assert weibull_reliability(1.5, 1.0, b10) == pytest.approx(0.9)
    assert round(weibull_reliability(1.0, 36.0, 12.0), 5) == 0.71653


def test_mean_of_a_bad_life_is_refused():
    with pytest.raises(InvalidSample, match="scale"):
        weibull_mean(1.0, np.inf)
