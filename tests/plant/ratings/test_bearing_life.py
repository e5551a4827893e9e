"""Rating life: figures worked by hand, properties, and what is refused."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plant.ratings import (
    RatingError,
    RollingElement,
    Status,
    basic_rating_life_hours,
    basic_rating_life_million_rev,
    load_ratio_needed,
    pair_rating_kn,
    rating_needed_kn,
    system_rating_life_hours,
)

LOADS = st.floats(0.1, 1e3)


@pytest.mark.parametrize(
    ("dynamic_rating_kn", "load_kn", "speed_rpm", "hours"),
    [(61.8, 5, 2950, 10_668.0), (52.7, 5, 2950, 6_615.3), (61.8, 6, 1450, 12_560.1)],
)
def test_ball_bearing_hours_match_the_hand_calculation(
    dynamic_rating_kn, load_kn, speed_rpm, hours
):
    life = basic_rating_life_hours(dynamic_rating_kn, load_kn, speed_rpm)
    assert round(life.value, 1) == hours
    assert (life.unit, life.status) == ("h", Status.FOUND)


@pytest.mark.parametrize(
    ("target_hours", "speed_rpm", "ratio"),
    [
        (25_000, 2950, 16.417),
        (17_500, 2950, 14.577),
        (25_000, 1450, 12.956),
        (17_500, 1450, 11.504),
    ],
)
def test_the_load_ratio_for_a_target_matches_the_hand_calculation(
    target_hours, speed_rpm, ratio
):
    assert round(load_ratio_needed(target_hours, speed_rpm).value, 3) == ratio


@pytest.mark.parametrize(
    ("lives", "hours", "digits"),
    [
        ([37_037, 37_037], 23_332, 0),
        ([30_000, 60_000], 24_517.2, 1),
        ([50_000, 40_000], 27_912.1, 1),
    ],
)
def test_a_system_is_shorter_lived_than_its_bearings(lives, hours, digits):
    life = system_rating_life_hours(lives)
    assert round(life.value, digits) == hours
    assert life < min(lives)
    assert "6.10.1.11" in life.source


def test_one_bearing_is_its_own_system():
    assert system_rating_life_hours([30_000]) == pytest.approx(30_000, rel=1e-12)


def test_a_far_longer_life_leaves_the_system_where_it_is():
    assert system_rating_life_hours([1e4, 1e12]) == pytest.approx(1e4, rel=1e-11)


def test_a_pair_carries_two_to_the_seven_tenths():
    paired = pair_rating_kn(1)
    assert round(paired.value, 4) == 1.6245
    assert (paired.unit, paired.status) == ("kN", Status.MEMORY)
    assert pair_rating_kn(50, "roller").value == pytest.approx(50 * 2 ** (7 / 9))


@pytest.mark.parametrize(("kind", "times"), [("ball", 8), ("roller", 2 ** (10 / 3))])
def test_half_the_load_lengthens_life_by_the_exponent(kind, times):
    full, half = (
        basic_rating_life_million_rev(60, load, kind).value for load in (10, 5)
    )
    assert half / full == pytest.approx(times, rel=1e-12)


@given(LOADS, st.floats(1.0, 1e5), st.floats(10, 2e4), st.sampled_from(RollingElement))
def test_the_rating_needed_gives_back_its_target(load_kn, hours, speed_rpm, kind):
    needed = rating_needed_kn(load_kn, hours, speed_rpm, kind)
    assert basic_rating_life_hours(needed, load_kn, speed_rpm, kind) == pytest.approx(
        hours, rel=1e-9
    )


@given(st.lists(st.floats(1.0, 1e7), min_size=1, max_size=8), st.floats(1.0, 1e7))
def test_another_bearing_never_lengthens_the_system(lives, another):
    longer = system_rating_life_hours([*lives, another])
    assert longer <= system_rating_life_hours(lives) * (1 + 1e-12)


@pytest.mark.parametrize(
    ("numbers", "refusal"),
    [
        ((0, 5, 2950), "The dynamic rating C must be above zero"),
        ((60, -1, 2950), "The load P must be above zero"),
        ((60, None, 2950), "The load P must be a number"),
        ((60, 5, 0), "The speed must be above zero"),
        ((60, 5, float("nan")), "The speed must be a number"),
    ],
)
def test_a_rating_life_needs_size_load_and_speed(numbers, refusal):
    with pytest.raises(RatingError, match=refusal):
        basic_rating_life_hours(*numbers)


def test_needles_of_another_kind_are_refused():
    with pytest.raises(RatingError, match="balls or rollers, not 'plain'"):
        basic_rating_life_million_rev(60, 5, "plain")


def test_a_target_and_a_load_must_be_above_zero():
    with pytest.raises(RatingError, match="The target life must be above zero"):
        load_ratio_needed(0, 2950)
    with pytest.raises(RatingError, match="The load P must be above zero"):
        rating_needed_kn(0, 25_000, 2950)


def test_a_system_without_a_bearing_is_refused():
    with pytest.raises(RatingError, match="needs the rating life of a bearing"):
        system_rating_life_hours([])
    with pytest.raises(RatingError, match="bearing's rating life must be above zero"):
        system_rating_life_hours([30_000, 0])
