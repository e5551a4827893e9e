import numpy as np
import pytest

from analytics.reports.bad_actors.families import families

NAMES = ["hot"] * 12 + ["cold"] * 40 + ["acid"] * 40


def judged(events, names=NAMES, exposures=None):
    times = np.ones(len(names)) if exposures is None else exposures
    return {row.name: row for row in families(names, np.array(events), times)}


def test_a_family_with_thrice_the_events_is_found():
    found = judged([3] * 12 + [1, 1, 0, 2] * 20)
    assert found["hot"].is_worse
    assert found["hot"].ratio == pytest.approx(3.0)
    assert found["hot"].expected == pytest.approx(12.0)
    assert not found["cold"].is_worse


def test_one_very_bad_unit_makes_no_bad_family():
    found = judged([20] + [1] * 11 + [1, 1, 0, 2] * 20)
    assert found["hot"].ratio > 2
    assert not found["hot"].is_worse


def test_a_little_more_than_the_fleet_is_no_bad_family_however_sure():
    names = ["hot"] * 400 + ["cold"] * 400
    found = judged([13, 14] * 200 + [10, 11] * 200, names)
    assert found["hot"].adjusted < 0.01
    assert not found["hot"].is_worse


def test_families_that_differ_by_chance_alone_are_seldom_found():
    rng = np.random.default_rng(5)
    names = [str(number) for number in np.arange(160) % 8]
    worse = 0
    for _ in range(20):
        events = rng.poisson(rng.gamma(2.0, 0.5, 160))
        worse += any(row.is_worse for row in families(names, events, np.ones(160)))
    # At 10 % more than 5 of 20 come up in 1 of 100 draws.
    assert worse <= 5


def test_exposure_is_told_from_trouble():
    found = judged([3] * 12 + [1] * 80, exposures=np.array([3.0] * 12 + [1.0] * 80))
    assert found["hot"].ratio == pytest.approx(1.0)
    assert not found["hot"].is_worse


def test_two_units_are_no_family_and_one_family_has_no_others():
    assert "pair" not in judged([9, 9, 1, 1, 1], ["pair"] * 2 + ["rest"] * 3)
    assert judged([1, 2, 3], ["all"] * 3) == {}
    assert judged([0] * 6, ["a"] * 3 + ["b"] * 3) == {}
