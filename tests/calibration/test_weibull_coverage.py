import numpy as np
import pytest

from analytics.life.data import LifeData
from analytics.life.weibull import weibull_fit
from analytics.life.weibull.solver import Status, solve
from tests.calibration.designs import Design, drawn_samples, life_sums_of
from tests.calibration.weibull_coverage import (
    TARGETS,
    cell_coverage,
    simulated_limits,
    statistics_at_truth,
)

DESIGNS = [
    Design("complete", 5, 0.0),
    Design("time ended", 5, 0.5),
    Design("failure ended", 5, 0.5),
    Design("late entry", 12, 0.5),
]


def lives_of(rows, run):
    """One drawn sample as a page would give it to the fit."""
    ages, failed, weights, owner, _ = rows
    mine = owner == run
    suspended = np.where(failed, weights - 1.0, weights)[mine].astype(int)
    ends = np.concatenate([ages[mine & failed], np.repeat(ages[mine], suspended)])
    return LifeData(ends, np.arange(ends.size) < (mine & failed).sum())


@pytest.mark.parametrize("design", DESIGNS[:3], ids=lambda design: design.name)
def test_the_table_judges_the_intervals_that_are_shown(design):
    """Inverted tests and searched limits agree, run by run."""
    rows = drawn_samples(design, 60, np.random.default_rng(4))
    sums = life_sums_of(rows)
    solution = solve(sums)
    good = solution.status == Status.OK
    sums, solution = sums.chosen(good), solution.chosen(good)
    statistics = statistics_at_truth(sums, solution)
    limits = simulated_limits(design, sums, solution)
    for place, run in enumerate(np.flatnonzero(good)):
        fit = weibull_fit(lives_of(rows, int(run)))
        assert fit.shape == pytest.approx(solution.shape[place])
        for target, truth, interval in (
            ("shape", 1.0, fit.shape_interval),
            ("scale", 1.0, fit.scale_interval),
            ("B10", -np.log(0.9), fit.b_life(10).interval),
        ):
            spare = limits[target][place] - statistics[target][place]
            if abs(spare) > 0.03:
                assert (float(truth) in interval) == (spare > 0.0)


@pytest.mark.parametrize("design", DESIGNS, ids=lambda design: design.name)
def test_shown_intervals_cover(design):
    """A small seeded part of the table: within three errors of 90 %."""
    cell = cell_coverage(design, 1500, 3)
    for target in TARGETS:
        covered = cell.coverage["calibrated", target]
        assert 0.865 < covered.covered < 0.955
        assert covered.covered + covered.below + covered.above == pytest.approx(1.0)
