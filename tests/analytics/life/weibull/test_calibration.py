import numpy as np
import pytest

from analytics.life.data import LifeData
from analytics.life.weibull.calibration import (
    Group,
    Plan,
    age_statistic,
    sample_plan,
    thresholds,
)
from analytics.life.weibull.likelihood import life_sums, log_likelihood
from analytics.life.weibull.solver import solve
from tests.analytics.life.samples import complete, drawn

CHI_SQUARE_90 = 2.7055


def test_plan_of_a_complete_sample_has_no_cut():
    plan = sample_plan(complete([10, 20, 30]), 1.0, 3.0)
    assert plan == Plan(groups=(Group(-np.inf, np.inf, 3),))


def test_plan_of_a_test_ended_by_a_failure_counts_removals():
    lives = LifeData([10, 20, 30, 15, 30, 30], [1, 1, 1, 0, 0, 0])
    assert sample_plan(lives, 1.0, 3.0) == Plan(removed=(1, 0, 2))


def test_plan_of_a_test_ended_by_time_has_one_cut_for_all():
    lives = LifeData([10, 20, 30, 50, 50], [1, 1, 1, 0, 0])
    (group,) = sample_plan(lives, 1.0, np.log(50.0)).groups
    assert group == Group(-np.inf, 0.0, 5)


def test_thresholds_do_not_depend_on_shape_or_scale():
    steep = sample_plan(complete(np.array([10.0, 20, 30, 40]) ** 0.2), 5.0, 0.5)
    assert steep == sample_plan(complete([10.0, 20, 30, 40]), 1.0, 3.0)


def test_few_failures_need_a_higher_threshold_and_many_the_usual_one():
    few = thresholds(Plan(groups=(Group(-np.inf, np.inf, 4),)), 0.90, 3)
    many = thresholds(Plan(groups=(Group(-np.inf, np.inf, 200),)), 0.90, 3)
    assert few.shape > 1.3 * CHI_SQUARE_90
    assert float(few.at(0.0)) > 1.2 * CHI_SQUARE_90
    assert many.shape == pytest.approx(CHI_SQUARE_90, rel=0.1)
    assert many.at_knots == pytest.approx(CHI_SQUARE_90, rel=0.1)


def test_same_plan_gives_the_same_threshold_every_time():
    plan = Plan(removed=(0, 1, 0, 2))
    first = thresholds(plan, 0.90, 3).shape
    thresholds.cache_clear()
    assert thresholds(plan, 0.90, 3).shape == first


@pytest.mark.parametrize("late", [0.0, 0.5])
def test_age_statistic_is_twice_the_drop_by_brute_force(late):
    lives = drawn(6, 15, cut=1300.0, late=late)
    sums = life_sums([lives])
    solution = solve(sums)
    age, log_hazard = 400.0, -1.0
    statistic = age_statistic(sums, solution, np.log(age), log_hazard)[0]
    shapes = np.geomspace(0.05, 20.0, 40001)
    best = max(
        log_likelihood(lives, k, age * np.exp(-log_hazard / k)) for k in shapes[::20]
    )
    top = solution.profile[0] + sums.constant[0]
    assert statistic == pytest.approx(2.0 * (top - best), abs=2e-4)
