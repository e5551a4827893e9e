import numpy as np
import pytest

from analytics.life.errors import InvalidSample
from analytics.life.replacement import (
    age_cost_curve,
    age_replacement,
    block_cost_curve,
)


@pytest.mark.parametrize("shape", [0.5, 1.0])
def test_without_wear_out_it_is_not_worthwhile(shape):
    policy = age_replacement(shape, 1000.0, 1.0, 5.0)
    assert not policy.worthwhile
    assert "does not rise with age" in policy.reason
    assert policy.age is None
    assert (policy.saving, policy.cost_rate) == (0.0, policy.run_to_failure_cost_rate)


def test_a_cheap_failure_is_not_prevented():
    policy = age_replacement(3.0, 1000.0, 5.0, 5.0)
    assert not policy.worthwhile
    assert "costs no more" in policy.reason


@pytest.mark.parametrize("shape", [1.0001, 1.05])
def test_an_optimum_nobody_reaches_is_not_worthwhile(shape):
    policy = age_replacement(shape, 1.0, 1.0, 1.5)
    assert not policy.worthwhile
    assert "nearly every part fails before" in policy.reason


@pytest.mark.parametrize("shape", [1.3, 2.0, 6.0, 40.0])
@pytest.mark.parametrize("failure_cost", [4.0, 10.0, 1e4])
def test_the_optimum_is_the_bottom_of_the_curve(shape, failure_cost):
    policy = age_replacement(shape, 800.0, 1.0, failure_cost)
    assert policy.worthwhile
    ages = policy.age * np.array([0.9, 0.999, 1.0, 1.001, 1.1])
    rates = age_cost_curve(shape, 800.0, 1.0, failure_cost, ages).cost_rate
    assert rates.argmin() in (1, 2, 3)
    assert rates[2] == pytest.approx(policy.cost_rate, rel=1e-9)
    assert policy.saving == pytest.approx(
        1.0 - policy.cost_rate / policy.run_to_failure_cost_rate
    )


def test_curve_ends_at_run_to_failure():
    curve = age_cost_curve(2.0, 100.0, 1.0, 6.0, [5000.0])
    assert curve.cost_rate[0] == pytest.approx(6.0 / 88.6226925, rel=1e-8)


def test_block_replacement_costs_more_than_age_replacement():
    policy = age_replacement(2.5, 1000.0, 1.0, 5.0)
    blocks = block_cost_curve(2.5, 1000.0, 1.0, 5.0)
    assert blocks.cost_rate.min() > policy.cost_rate
    assert blocks.ages.size == blocks.cost_rate.size == 120


def test_block_curve_counts_renewals():
    """M(1) = 0.7536912775 at shape 2 (Smith and Leadbetter series)."""
    curve = block_cost_curve(2.0, 1.0, 1.0, 4.0, [1.0])
    assert curve.cost_rate[0] == pytest.approx(1.0 + 4.0 * 0.7536912775, abs=1e-7)


@pytest.mark.parametrize("position", range(4))
def test_every_argument_must_be_above_zero(position):
    arguments = [2.0, 1000.0, 1.0, 5.0]
    arguments[position] = 0.0
    for function in (age_replacement, age_cost_curve, block_cost_curve):
        with pytest.raises(InvalidSample, match="must be above zero"):
            function(*arguments)


def test_curve_ages_must_be_above_zero():
    with pytest.raises(InvalidSample, match="Every age must be above zero"):
        age_cost_curve(2.0, 1.0, 1.0, 5.0, [0.0])
