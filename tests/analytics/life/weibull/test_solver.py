from decimal import Decimal, getcontext

import numpy as np
import pytest

from analytics.life.data import LifeData
from analytics.life.weibull.likelihood import life_sums, log_likelihood
from analytics.life.weibull.solver import Status, solve
from tests.analytics.life.samples import SEAL_AGES, complete, drawn


def shape_at_high_precision(lives, near):
    """Root of the profile score by bisection in 50-digit decimals."""
    getcontext().prec = 50
    longest = Decimal(float(lives.ages.max()))
    ends = [(Decimal(float(age)) / longest).ln() for age in lives.ages]
    entries = [(Decimal(float(age)) / longest).ln() for age in lives.entries if age > 0]
    failed = [end for end, fail in zip(ends, lives.failed, strict=True) if fail]
    count = Decimal(len(failed))

    def score(shape):
        power = sum((shape * x).exp() for x in ends)
        power -= sum((shape * x).exp() for x in entries)
        slope = sum(x * (shape * x).exp() for x in ends)
        slope -= sum(x * (shape * x).exp() for x in entries)
        return count / shape + sum(failed) - count * slope / power

    low, high = Decimal(near) * Decimal("0.999"), Decimal(near) * Decimal("1.001")
    assert score(low) > 0 > score(high)
    for _ in range(100):
        middle = (low + high) / 2
        low, high = (middle, high) if score(middle) > 0 else (low, middle)
    return float(middle)


@pytest.mark.parametrize(
    "lives",
    [
        complete(SEAL_AGES),
        drawn(1, 40, cut=500.0),
        drawn(2, 12, shape=0.4),
        drawn(3, 30, shape=9.0, cut=1010.0),
        drawn(4, 40, late=0.7),
        drawn(5, 25, shape=3.0, cut=1100.0, late=1.0),
        LifeData([1e-9, 3e-9, 1e9, 5.0], [1, 1, 1, 1]),
        LifeData(1000.0 + np.array([0.0, 1e-4, 2e-4, 5e-4]), [1, 1, 1, 1]),
    ],
    ids=["seals", "cut", "early", "steep", "late", "all late", "wide", "narrow"],
)
def test_shape_is_the_root_to_1e_8(lives):
    shape = solve(life_sums([lives])).shape[0]
    assert shape == pytest.approx(shape_at_high_precision(lives, shape), rel=1e-8)


def test_the_higher_of_two_peaks_is_found():
    """Late entries can give the likelihood more than one peak."""
    for seed in range(40):
        lives = drawn(seed, 6, shape=1.2, late=0.8)
        solution = solve(life_sums([lives]))
        if solution.status[0] != Status.OK:
            continue
        found = log_likelihood(
            lives,
            solution.shape[0],
            float(np.exp(solution.log_scale[0]) * lives.ages.max()),
        )
        sums = life_sums([lives])
        grid = np.geomspace(1e-3, 100.0, 2000)
        best = max(
            float((sums.profile(np.array([k])) + sums.constant)[0]) for k in grid
        )
        assert found >= best - 1e-9


def test_profile_and_likelihood_agree_at_the_maximum():
    lives = drawn(9, 30, cut=1200.0, late=0.3)
    sums = life_sums([lives])
    solution = solve(sums)
    scale = float(np.exp(solution.log_scale[0] + sums.log_reference[0]))
    assert solution.profile[0] + sums.constant[0] == pytest.approx(
        log_likelihood(lives, solution.shape[0], scale), abs=1e-9
    )


def test_curvature_is_that_of_the_profile():
    sums = life_sums([drawn(9, 30, cut=1200.0, late=0.3)])
    solution, step = solve(sums), 1e-4
    u = np.log(solution.shape)
    up, middle, down = (sums.profile(np.exp(u + d)) for d in (step, 0.0, -step))
    assert solution.curvature == pytest.approx(
        -(up - 2 * middle + down) / step**2, rel=1e-4
    )


def test_populations_in_one_solve_do_not_touch_each_other():
    samples = [drawn(i, 20 + i, cut=1000.0, late=0.5 * (i % 2)) for i in range(8)]
    together = solve(life_sums(samples)).shape
    alone = [solve(life_sums([sample])).shape[0] for sample in samples]
    assert together == pytest.approx(alone, rel=1e-10)
