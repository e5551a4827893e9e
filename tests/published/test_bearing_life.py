"""Sources stand in the case file: ISO 281:2007 and a textbook example (from memory).

Figures of the case file marked "from memory" were recalled and recomputed.
"""

import pytest

from analytics.life.weibull import weibull_reliability
from plant.ratings import (
    basic_rating_life_hours,
    basic_rating_life_million_rev,
    modified_rating_life_hours,
    rating_needed_kn,
    reliability_factor,
)
from tests.published.cases import case_data

KN_PER_POUND_FORCE = 4.4482216152605e-3


@pytest.mark.parametrize(
    ("identifier", "kind"), [("i1_iso281_6309", "ball"), ("i2_iso281_roller", "roller")]
)
def test_basic_rating_lives_agree(identifier, kind):
    case = case_data("bearing_life", identifier)
    data, expected = case["data"], case["expected"]
    life = basic_rating_life_million_rev(data["C"], data["P"], kind)
    hours = basic_rating_life_hours(data["C"], data["P"], data["n"], kind)
    assert life == pytest.approx(expected["L10_million_rev"], rel=1e-6)
    assert hours == pytest.approx(expected["L10h"], rel=1e-6)


def test_the_ball_bearing_as_printed():
    case = case_data("bearing_life", "i1_iso281_6309")
    data, printed = case["data"], case["expected"]["published"]
    life = basic_rating_life_million_rev(data["C"], data["P"])
    hours = basic_rating_life_hours(data["C"], data["P"], data["n"])
    assert round(life.value) == printed["L10"]
    assert round(hours.value, -1) == printed["L10h"]


def test_the_exponent_of_rollers_is_ten_thirds_exactly():
    data = case_data("bearing_life", "i2_iso281_roller")["data"]
    exact = basic_rating_life_million_rev(data["C"], data["P"], "roller")
    rounded = (data["C"] / data["P"]) ** 3.33
    assert 1 - rounded / exact == pytest.approx(0.0054, abs=5e-5)


def test_lives_at_other_reliabilities_agree():
    case = case_data("bearing_life", "i3_iso281_a1")
    base = case_data("bearing_life", case["data"]["base"].split()[-1] + "_iso281_6309")
    size = base["data"]
    basic = basic_rating_life_hours(size["C"], size["P"], size["n"])
    percents = case["data"]["reliability_percent"]
    assert [reliability_factor(p) for p in percents] == case["expected"]["a1"]
    lives = [modified_rating_life_hours(basic, p) for p in percents]
    assert lives == pytest.approx(case["expected"]["Lnmh_h"], rel=1e-6)


def test_the_rating_needed_for_a_target_life_agrees():
    case = case_data("bearing_life", "i4_shigley_catalog_rating")
    data, expected = case["data"], case["expected"]
    load_kn = data["load_lbf"] * KN_PER_POUND_FORCE
    needed = rating_needed_kn(load_kn, data["hours"], data["n"])
    assert needed == pytest.approx(expected["C10_kN"], rel=1e-5)
    pounds = needed / KN_PER_POUND_FORCE
    assert pounds == pytest.approx(expected["C10_lbf"], rel=1e-5)
    assert round(pounds) == expected["published"]["C10_lbf"]


def test_characteristic_and_median_life_of_slope_one_and_a_half():
    """Worked out: scale over L10 is 4.4828, median over L10 is 3.5110."""
    assert weibull_reliability(1.5, 4.4828, 1.0) == pytest.approx(0.9, abs=5e-6)
    assert weibull_reliability(1.5, 4.4828, 3.5110) == pytest.approx(0.5, abs=1e-5)
