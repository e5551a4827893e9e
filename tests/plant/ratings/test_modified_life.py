"""The table of a1 and the life it modifies."""

import math

import pytest

from plant.ratings import (
    RELIABILITY_FACTORS,
    RatingError,
    Status,
    modified_rating_life_hours,
    reliability_factor,
)


@pytest.mark.parametrize(
    ("percent", "factor"), [(90, 1), (95, 0.64), (99, 0.25), (99.9, 0.093)]
)
def test_the_factor_is_that_of_the_table(percent, factor):
    found = reliability_factor(percent)
    assert found == factor
    assert found.status == Status.MEMORY


@pytest.mark.parametrize("percent", RELIABILITY_FACTORS)
def test_every_factor_agrees_with_the_three_parameter_curve_behind_it(percent):
    """Slope 1.5 and a least life of 0.05 L10, rounded to the table's digits."""
    share = math.log(100 / percent) / math.log(100 / 90)
    curve = 0.05 + 0.95 * share ** (2 / 3)
    digits = 3 if curve < 0.1 else 2
    assert RELIABILITY_FACTORS[percent] == pytest.approx(curve, abs=0.51 * 10**-digits)


@pytest.mark.parametrize("percent", [50, 92.5, 99.5, 99.99, 100])
def test_between_two_values_of_the_table_there_is_no_factor(percent):
    with pytest.raises(RatingError, match=rf"no factor for {percent} %.*90, 95, 96"):
        reliability_factor(percent)


def test_a_reliability_that_is_no_number_is_refused():
    with pytest.raises(RatingError, match="The reliability must be a number"):
        reliability_factor(float("nan"))


def test_modified_life_multiplies_both_factors():
    life = modified_rating_life_hours(20_000, 95, a_iso=1.5)
    assert life.value == pytest.approx(20_000 * 0.64 * 1.5, rel=1e-12)
    assert (life.unit, life.status) == ("h", Status.MEMORY)


def test_without_factors_the_basic_life_stands():
    life = modified_rating_life_hours(20_000)
    assert life == 20_000
    assert life.status == Status.FOUND


@pytest.mark.parametrize(
    ("numbers", "refusal"),
    [
        ((0, 90, 1), "The rating life must be above zero"),
        ((20_000, 90, 0), "The factor a_ISO must be above zero"),
        ((20_000, 91, 1), "no factor for 91 %"),
    ],
)
def test_modified_life_refuses(numbers, refusal):
    with pytest.raises(RatingError, match=refusal):
        modified_rating_life_hours(*numbers)
