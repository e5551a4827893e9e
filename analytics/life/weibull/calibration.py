"""Thresholds of the likelihood ratio for few failures, from simulation.

With fewer than ten failures the usual chi-square threshold makes intervals
too short. The distribution of the likelihood ratio is here simulated under the
plan that produced the sample; it does not depend on the true shape and scale,
only on the plan: how many lives, and at which failure probability each
was or would have been cut.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from analytics.life.arrays import BoolArray, FloatArray, IntArray
from analytics.life.data import LifeData
from analytics.life.weibull.likelihood import LifeSums, sums_from_rows
from analytics.life.weibull.solver import Solution, Status, solve

CALIBRATED_BELOW = 10
RUNS = 4000
SEED = 20190731
# Plans whose log hazards agree to this step share their threshold.
PLAN_STEP = 0.2
MOST_GROUPS = 60
LATEST_ENTRY = 3.0
# Log cumulative hazards at which thresholds are simulated; zero is the scale.
KNOTS = np.array([-6.0, -4.5, -3.0, -2.0, -1.0, 0.0, 1.0, 1.8])
CONSTRAINED_STEPS = 40


@dataclass(frozen=True, slots=True)
class Group:
    """Lives cut at one log hazard, watched from another (-inf: from zero)."""

    log_entry: float
    log_cut: float
    lives: int


@dataclass(frozen=True, slots=True)
class Plan:
    """How a sample came about, on the scale of its own fitted life.

    Either `removed`: lives taken out at each failure in turn, the test ending
    with the last failure; or `groups` of lives with fixed ages at the cut.
    """

    removed: tuple[int, ...] = ()
    groups: tuple[Group, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Thresholds:
    """Thresholds of the likelihood-ratio statistic."""

    shape: float
    at_knots: FloatArray

    def at(self, log_hazard: float | FloatArray) -> FloatArray:
        """Return the threshold for an age of given log cumulative hazard."""
        return np.asarray(np.interp(log_hazard, KNOTS, self.at_knots))


def sample_plan(data: LifeData, shape: float, log_scale: float) -> Plan:
    """Read the plan of a sample from the sample and its fit.

    Notes
    -----
    A failed life would have been cut at some later age that is not known;
    the middle of the later suspension ages stands for it, and no cut at all
    where there is none. If the last suspensions and the last failure share
    their age, the test was ended by that failure.

    References
    ----------
    .. [1] Davison, A. C. and Hinkley, D. V., Bootstrap Methods and their
       Application, 1997, section 3.5 (censored data); from memory.
    """
    failed, cut = data.ages[data.failed], np.sort(data.ages[~data.failed])
    if data.entry_ages is None and cut.size and cut[-1] == failed.max():
        order = np.sort(failed)
        place = np.maximum(np.searchsorted(order, cut, side="right") - 1, 0)
        return Plan(removed=tuple(np.bincount(place, minlength=order.size).tolist()))
    later = np.searchsorted(cut, data.ages, side="left")
    middle = np.append(cut, np.inf)[np.minimum((later + cut.size) // 2, cut.size)]
    cuts = np.where(data.failed, middle, data.ages)
    with np.errstate(divide="ignore"):
        log_cut = shape * (np.log(cuts) - log_scale)
        log_entry = shape * (np.log(data.entries) - log_scale)
    return Plan(groups=_groups(log_entry, log_cut))


@lru_cache(maxsize=512)
def thresholds(plan: Plan, confidence: float, minimum_failures: int) -> Thresholds:
    """Simulate the thresholds of a plan at a confidence.

    Notes
    -----
    Runs with fewer failures than the fit demands are left out, as such samples
    would have been refused.
    """
    sums, solution = _simulated(plan, minimum_failures)
    shape_ratio = 2.0 * (solution.profile - sums.profile(np.ones(sums.failures.size)))
    return Thresholds(
        shape=float(np.quantile(shape_ratio, confidence)),
        at_knots=np.array(
            [
                np.quantile(age_statistic(sums, solution, knot, knot), confidence)
                for knot in KNOTS
            ]
        ),
    )


@lru_cache(maxsize=128)
def simulated_fits(plan: Plan, minimum_failures: int) -> tuple[FloatArray, FloatArray]:
    """Return logs of shape and scale fitted under a plan to lives of unit scale.

    Notes
    -----
    The true shape is one as well. Fitted over true shape, and fitted shape
    times the log of fitted over true scale, have the same distribution for
    every true life if the sample is complete or ended by a failure, and nearly
    so otherwise.
    """
    sums, solution = _simulated(plan, minimum_failures)
    return np.log(solution.shape), solution.log_scale + sums.log_reference


def _simulated(plan: Plan, minimum_failures: int) -> tuple[LifeSums, Solution]:
    """Draw samples under a plan and fit those that can be fitted."""
    generator = np.random.default_rng(SEED)
    if plan.removed:
        sums = _failure_ended(np.array(plan.removed), generator)
    else:
        sums = _cut_at_ages(plan.groups, generator)
    solution = solve(sums, minimum_failures)
    good = np.asarray(solution.status == Status.OK, dtype=bool)
    return sums.chosen(good), solution.chosen(good)


def age_statistic(
    sums: LifeSums,
    solution: Solution,
    log_age: float | FloatArray,
    log_hazard: float,
) -> FloatArray:
    """Likelihood ratio of the claim that an age has a cumulative hazard.

    Parameters
    ----------
    sums, solution : LifeSums, Solution
        Populations with their fits, every status OK.
    log_age : float or ndarray
        Log of the age, in the unit of the sample.
    log_hazard : float
        Log cumulative hazard claimed for it; zero claims that the age is
        the scale.

    Returns
    -------
    ndarray
        Twice the drop of the log-likelihood, per population.
    """
    age = log_age - sums.log_reference
    failures, gain = sums.failures, sums.failed_log_sum - sums.failures * age
    log_shape = np.log(solution.shape)
    for _ in range(CONSTRAINED_STEPS):
        shape = np.exp(log_shape)
        log_power, first, second = sums.powers_with_slopes(shape)
        hazard = np.exp(np.minimum(log_hazard - shape * age + log_power, 500.0))
        lean = first - age
        score = failures + shape * (gain - hazard * lean)
        fall = failures + shape**2 * hazard * (lean**2 + second)
        # Late entry can bend the curve upwards far from its peak.
        step = np.clip(score / np.maximum(fall, 0.1 * failures), -1.0, 1.0)
        log_shape = log_shape + step
        if np.abs(step).max() < 1e-9:
            break
    shape = np.exp(log_shape)
    log_rate = log_hazard - shape * age
    log_total = np.minimum(log_rate + np.log(sums.powers(shape)), 500.0)
    best = (
        failures * (log_rate + log_shape)
        - np.exp(log_total)
        + shape * sums.failed_log_sum
    )
    return np.maximum(2.0 * (solution.profile - best), 0.0)


def _groups(log_entry: FloatArray, log_cut: FloatArray) -> tuple[Group, ...]:
    """Gather lives with like plans, in coarser steps when they are many."""
    step = PLAN_STEP
    while True:
        entry = stepped(np.minimum(log_entry, LATEST_ENTRY), step)
        pairs = np.stack([entry, stepped(log_cut, step)], axis=1)
        kinds, counts = np.unique(pairs, axis=0, return_counts=True)
        if counts.size <= MOST_GROUPS:
            break
        step *= 2.0
    return tuple(
        Group(float(entry), float(cut), int(lives))
        for (entry, cut), lives in zip(kinds, counts, strict=True)
    )


def stepped(log_hazard: FloatArray, step: float = PLAN_STEP) -> FloatArray:
    """Return log hazards rounded to a step, infinite where they do not matter."""
    # Entry below a hazard of e**-8 means nothing; a cut above e**4 never comes.
    near = np.round(log_hazard / step) * step
    return np.where(near < -8.0, -np.inf, np.where(near > 4.0, np.inf, near))


def _failure_ended(removed: IntArray, generator: np.random.Generator) -> LifeSums:
    """Draw samples that end with a failure, with removals at failures."""
    weights = 1.0 + removed
    at_risk = np.cumsum(weights[::-1])[::-1]
    gaps = generator.exponential(size=(RUNS, removed.size)) / at_risk
    ages = np.cumsum(gaps, axis=1).ravel()
    return sums_from_rows(
        ages,
        np.ones(ages.size, dtype=bool),
        np.full(RUNS, removed.size, dtype=np.int64),
        np.tile(weights, RUNS),
    )


def _cut_at_ages(groups: tuple[Group, ...], generator: np.random.Generator) -> LifeSums:
    """Draw samples of unit exponential lives cut at fixed ages."""
    entry = np.exp([group.log_entry for group in groups])
    # Rounded to the same step, a late entry and its cut would be one moment.
    cut = np.exp([max(group.log_cut, group.log_entry + PLAN_STEP) for group in groups])
    lives = np.array([group.lives for group in groups])
    chance = -np.expm1(entry - cut)
    failed = generator.binomial(lives, chance, size=(RUNS, lives.size))
    run, kind = np.divmod(np.repeat(np.arange(failed.size), failed.ravel()), lives.size)
    share = generator.uniform(size=run.size) * chance[kind]
    ages = [entry[kind] - np.log1p(-share)]
    weights, runs = [np.ones(run.size)], [run]
    for marks, counts in (
        (cut, lives - failed),
        (entry, np.broadcast_to(-lives, failed.shape)),
    ):
        real = np.isfinite(marks) & (marks > 0.0) & (counts != 0)
        at_run, at_kind = np.nonzero(real)
        ages.append(marks[at_kind])
        weights.append(counts[real].astype(np.float64))
        runs.append(at_run)
    owner = np.concatenate(runs)
    order = np.argsort(owner, kind="stable")
    is_failure = np.arange(owner.size) < run.size
    return _without_empty_runs(
        np.concatenate(ages)[order],
        is_failure[order],
        np.bincount(owner, minlength=RUNS),
        np.concatenate(weights)[order],
    )


def _without_empty_runs(
    ages: FloatArray, failed: BoolArray, lengths: IntArray, weights: FloatArray
) -> LifeSums:
    return sums_from_rows(ages, failed, lengths[lengths > 0], weights)
