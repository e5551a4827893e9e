"""What a rating carries with it, and how unusable numbers are refused."""

import copy
import math
import pickle

import pytest

from plant.display import number
from plant.ratings import Rating, RatingError, Status
from plant.ratings.rating import above_zero, known

LIFE = Rating(17_500, "h", "ISO 5199", Status.MEMORY)


def test_a_rating_carries_unit_source_and_status():
    assert (LIFE.value, LIFE.unit, LIFE.source) == (17_500.0, "h", "ISO 5199")
    assert LIFE.status == "default, from memory"


def test_a_rating_is_a_number_and_arithmetic_gives_a_plain_one():
    assert LIFE * 2 == 35_000
    assert type(LIFE * 2) is float
    assert type(LIFE.value) is float
    assert number(LIFE) == "17,500"


@pytest.mark.parametrize("copied", [copy.copy, copy.deepcopy])
def test_a_copy_keeps_its_origin(copied):
    assert vars_of(copied(LIFE)) == vars_of(LIFE)


def test_a_stored_rating_keeps_its_origin():
    assert vars_of(pickle.loads(pickle.dumps(LIFE))) == vars_of(LIFE)


def vars_of(rating):
    return rating.value, rating.unit, rating.source, rating.status


def test_a_rating_shows_what_it_is():
    assert repr(LIFE) == "Rating(17500.0, 'h', 'default, from memory')"


@pytest.mark.parametrize("value", [math.nan, math.inf, None, "much"])
def test_what_is_no_number_is_refused_by_name(value):
    with pytest.raises(RatingError, match=r"The load P must be a number, not"):
        known("The load P", value)


@pytest.mark.parametrize("value", [0, -3.5])
def test_nothing_and_less_are_refused_by_name(value):
    with pytest.raises(RatingError, match=rf"must be above zero, not {value}"):
        above_zero("The speed", value)


@pytest.mark.parametrize("value", [1e-13, 1e13, 5e-324, 1e308])
def test_sizes_beyond_any_machine_point_at_the_unit(value):
    with pytest.raises(RatingError, match="beyond any machine; check its unit"):
        above_zero("The speed", value)


def test_a_refusal_is_a_value_error():
    assert issubclass(RatingError, ValueError)
