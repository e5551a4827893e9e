"""Covariates made from the facts of lives."""

import pandas as pd
import pytest

from analytics.reports.drivers.covariates import (
    BY_KEY,
    COVARIATES,
    MOST_LEVELS,
    REST,
    common_levels,
    offered,
)


def column(key, **facts):
    found = BY_KEY[key].column(pd.DataFrame(facts))
    return [None if value != value else value for value in found]


def test_blank_words_are_not_known():
    assert column("plan", piping_plan=["11", "", None]) == ["11", None, None]


def test_codes_become_their_words():
    assert column("arrangement", arrangement=[1, None, 3]) == [
        "1, single",
        None,
        "3, dual with barrier",
    ]
    assert column("kind", kind=["bellows", ""]) == ["bellows", None]


def test_the_class_of_a_liquid_comes_from_its_hazards():
    hazards = [["corrosive", "toxic"], [], None]
    assert column("liquid", hazards=hazards) == ["corrosive", "other", None]


def test_the_temperature_at_fitting_comes_before_that_of_the_position():
    facts = {"temperature_c": [80.0, None], "temperature_of_position": [60.0, 60.0]}
    assert column("temperature", **facts) == [80.0, 60.0]


def test_the_stiffness_ratio_needs_both_measures():
    facts = {
        "shaft_overhang_mm": [200.0, None, 0.0],
        "shaft_diameter_mm": [40.0, 40.0, 40.0],
    }
    assert column("stiffness", **facts) == [pytest.approx(200**3 / 40**4), None, None]


def test_the_distance_from_best_flow_counts_both_ways():
    facts = {
        "flow_m3_h": [80.0, 110.0, None, 50.0],
        "bep_flow_m3_h": [100.0, 100.0, 100.0, None],
    }
    found = column("off_best", **facts)
    assert found == [pytest.approx(20), pytest.approx(10), None, None]


def test_the_running_share_is_in_percent():
    assert column("share", running_share=[0.5, None]) == [50.0, None]


def test_seals_and_bearings_are_offered_what_they_have():
    seals, bearings = ({c.key for c in offered(c)} for c in ("seal", "radial bearing"))
    assert {"plan", "faces"} <= seals - bearings
    assert {"lubrication", "which"} <= bearings - seals
    assert seals | bearings == {covariate.key for covariate in COVARIATES}


def test_words_compare_two_levels_and_numbers_rise_by_a_step():
    assert BY_KEY["plan"].compared("21", "11") == "plan 21 instead of 11"
    assert BY_KEY["temperature"].risen("30") == "temperature higher by 30 °C"
    for covariate in COVARIATES:
        assert covariate.is_number != bool(covariate.phrase)


def test_few_levels_stay_and_the_rarest_of_many_are_pooled():
    few = pd.Series(["a"] * 3 + ["b"], dtype=object)
    assert common_levels(few)[0].tolist() == few.tolist()
    many = pd.Series(
        [name for name in "abcdefghi" for _ in range(ord("j") - ord(name))] + [None],
        dtype=object,
    )
    pooled, rare = common_levels(many)
    assert rare == 3
    assert pooled.nunique() == MOST_LEVELS + 1
    assert (pooled == REST).sum() == 3 + 2 + 1
    assert pooled.isna().sum() == 1
