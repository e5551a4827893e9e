"""Coverage of the Weibull intervals, by inverting the test of the true value.

An interval covers the truth exactly when the statistic at the truth stays
within its threshold, so that no limit has to be searched.
"""

from dataclasses import dataclass

import numpy as np
from scipy import special

from analytics.life.weibull.bias import shape_bias
from analytics.life.weibull.calibration import (
    CALIBRATED_BELOW,
    Group,
    Plan,
    age_statistic,
    stepped,
    thresholds,
)
from analytics.life.weibull.solver import MINIMUM_FAILURES, Status, solve
from tests.calibration.designs import sums_for

CONFIDENCE = 0.90
LOG_HAZARD_B10 = float(np.log(-np.log(0.9)))
TARGETS = ("shape", "scale", "B10")
METHODS = ("wald_log", "likelihood_ratio", "calibrated")


@dataclass(frozen=True)
class Coverage:
    """Share covered, truth below the interval, truth above it."""

    covered: float
    below: float
    above: float


@dataclass(frozen=True)
class Cell:
    design: object
    refused: float
    mean_shape: float
    median_shape: float
    corrected_mean: float
    coverage: dict


def cell_coverage(design, runs, seed):
    """Simulate one cell of the table."""
    generator = np.random.default_rng(seed)
    sums = sums_for(design, runs, generator)
    solution = solve(sums)
    good = solution.status == Status.OK
    sums, solution = sums.chosen(good), solution.chosen(good)
    statistics = statistics_at_truth(sums, solution)
    log_scale = solution.log_scale + sums.log_reference
    errors = {
        "shape": np.log(solution.shape),
        "scale": log_scale,
        "B10": log_scale + LOG_HAZARD_B10 / solution.shape - LOG_HAZARD_B10,
    }
    limits = {
        "likelihood_ratio": dict.fromkeys(TARGETS, special.chdtri(1.0, 1 - CONFIDENCE)),
        "calibrated": simulated_limits(design, sums, solution),
    }
    coverage = {}
    for target in TARGETS:
        for method, allowed in limits.items():
            inside = statistics[target] <= allowed[target]
            coverage[method, target] = _shares(inside, errors[target])
        reach = special.ndtri(0.5 + 0.5 * CONFIDENCE) * wald_error(
            sums, solution, target
        )
        coverage["wald_log", target] = _shares(
            np.abs(errors[target]) <= reach, errors[target]
        )
    by_time = design.kind in ("time ended", "late entry")
    bias = [shape_bias(r, design.lives, by_time) for r in sums.failures]
    corrected = solution.shape / np.array(bias)
    return Cell(
        design=design,
        refused=1.0 - good.mean(),
        mean_shape=float(solution.shape.mean()),
        median_shape=float(np.median(solution.shape)),
        corrected_mean=float(corrected.mean()),
        coverage=coverage,
    )


def statistics_at_truth(sums, solution):
    """Twice the drop of the likelihood at the true shape, scale and B10."""
    return {
        "shape": 2.0 * (solution.profile - sums.profile(np.ones(sums.failures.size))),
        "scale": age_statistic(sums, solution, 0.0, 0.0),
        "B10": age_statistic(sums, solution, LOG_HAZARD_B10, LOG_HAZARD_B10),
    }


def simulated_limits(design, sums, solution):
    """Thresholds of each run, as the fit of its sample would take them."""
    usual = special.chdtri(1.0, 1 - CONFIDENCE)
    limits = {target: np.full(sums.failures.size, usual) for target in TARGETS}
    few = sums.failures < CALIBRATED_BELOW
    plans = [run_plan(design, *row) for row in _plan_rows(design, sums, solution, few)]
    for place, plan in zip(np.flatnonzero(few), plans, strict=True):
        found = thresholds(plan, CONFIDENCE, MINIMUM_FAILURES)
        limits["shape"][place] = found.shape
        limits["scale"][place] = found.at(0.0)
        limits["B10"][place] = found.at(LOG_HAZARD_B10)
    return limits


def run_plan(design, log_cut, log_entry):
    """The plan that a sample of this design with this fit is read as."""
    lives = design.lives
    if design.kind == "failure ended":
        return Plan(removed=(0,) * (design.failures - 1) + (lives - design.failures,))
    if design.kind != "late entry":
        return Plan(groups=(Group(-np.inf, log_cut, lives),))
    entered = lives // 2
    return Plan(
        groups=(
            Group(-np.inf, log_cut, lives - entered),
            Group(log_entry, log_cut, entered),
        )
    )


def _plan_rows(design, sums, solution, few):
    log_scale = (solution.log_scale + sums.log_reference)[few]
    shape = solution.shape[few]
    log_cut = stepped(shape * (np.log(design.cut) - log_scale))
    log_entry = stepped(shape * (np.log(design.entry) - log_scale))
    return zip(log_cut.tolist(), log_entry.tolist(), strict=True)


def wald_error(sums, solution, target):
    """Standard error of the log of shape, scale or B10."""
    shape = solution.shape
    if target == "shape":
        return 1.0 / np.sqrt(solution.curvature)
    log_hazard = 0.0 if target == "scale" else LOG_HAZARD_B10
    _, first, _ = sums.powers_with_slopes(shape)
    # How the best scale moves with the log of the shape.
    slope = first - solution.log_scale - log_hazard / shape
    return np.sqrt(1.0 / (shape**2 * sums.failures) + slope**2 / solution.curvature)


def _shares(inside, error):
    return Coverage(
        float(inside.mean()),
        float((~inside & (error > 0.0)).mean()),
        float((~inside & (error < 0.0)).mean()),
    )
