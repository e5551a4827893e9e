import numpy as np
import pytest

from analytics.judging.lives import judge_lives
from analytics.judging.verdict import Finding
from analytics.life.data import LifeData
from analytics.life.errors import InvalidSample


def lives(scale, size=25, seed=1, unit="days"):
    ages = scale * np.random.default_rng(seed).weibull(1.5, size)
    return LifeData(ages, np.ones(size, dtype=bool), unit=unit)


def test_lives_three_times_as_long_are_a_success():
    found = judge_lives(lives(100), lives(300, seed=2), is_due=True)
    assert found.finding is Finding.WORKS
    assert found.mean_after > 2 * found.mean_before
    assert found.p_value < 0.01


def test_shorter_lives_do_not_work():
    found = judge_lives(lives(300), lives(100, seed=2), is_due=True)
    assert found.finding is Finding.DOES_NOT


def test_like_lives_prove_nothing():
    found = judge_lives(lives(100), lives(100, seed=2), is_due=True)
    assert found.finding is Finding.UNPROVEN
    assert found.p_value >= max(
        found.comparison.p_value, found.comparison.p_value_chi_square
    )


def test_too_few_failures_say_so():
    found = judge_lives(lives(100), lives(900, size=4), is_due=True)
    assert found.finding is Finding.UNPROVEN
    assert found.reason.endswith("there are 25 and 4.")


def test_lives_without_spread_are_refused_with_the_sentence_of_the_fit():
    same = LifeData(np.full(6, 50.0), np.ones(6, dtype=bool), unit="days")
    found = judge_lives(lives(100), same, is_due=True)
    assert found.finding is Finding.UNPROVEN
    assert found.comparison is None
    assert found.reason


def test_before_the_planned_date_it_is_too_early():
    found = judge_lives(lives(100), lives(900), is_due=False)
    assert found.finding is Finding.TOO_EARLY


def test_hours_and_days_are_not_compared():
    with pytest.raises(InvalidSample, match="different units"):
        judge_lives(lives(100), lives(100, unit="hours"), is_due=True)
