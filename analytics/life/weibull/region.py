"""The likelihood-ratio region of shape and scale, and extremes over it.

The profile-likelihood limits of any function of the two parameters are its
least and greatest value over the region where the likelihood stays within a
given drop of its maximum. The edge of that region is followed once; every
limit (shape, scale, B-life, reliability at any age) is then read from it.
"""

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.polynomial import chebyshev

from analytics.life.arrays import BoolArray, FloatArray
from analytics.life.weibull.likelihood import LifeSums
from analytics.life.weibull.power_curve import PowerCurve
from analytics.life.weibull.solver import Solution

NODES = 32
EDGE_POINTS = 128
ROOT_STEPS = 4
SEARCH_STEPS = 60
SHAPE_TOLERANCE = 1e-10
# Below this share of the fitted shape the lower limit counts as open.
LEAST_SHAPE_SHARE = 1e-4


@dataclass(frozen=True, slots=True, eq=False)
class Region:
    """Edge of the likelihood region of each population, as a closed loop.

    Parameters
    ----------
    shape : ndarray, shape (populations, points)
        Shape along the edge.
    log_rate : ndarray, shape (populations, points)
        Log of scale ** -shape along the edge, with the scale relative to the
        greatest age of the population.
    shape_low, shape_high : ndarray
        Limits of the shape; zero where the region has no lower end.
    open_low : ndarray of bool
        Populations whose region reaches down to shape zero.
    """

    shape: FloatArray
    log_rate: FloatArray
    shape_low: FloatArray
    shape_high: FloatArray
    open_low: BoolArray

    def log_age_limits(
        self, log_hazard: float | FloatArray
    ) -> tuple[FloatArray, FloatArray]:
        """Return limits of the log relative age with a cumulative hazard.

        Notes
        -----
        A hazard of 1 belongs to the scale, -ln(1 - p) to the B-life.
        """
        hazard = np.broadcast_to(log_hazard, self.shape_low.shape)[:, None]
        low, high = extremes((hazard - self.log_rate) / self.shape)
        return (
            np.where(self.open_low, -np.inf, low),
            np.where(self.open_low, np.inf, high),
        )

    def log_hazard_limits(
        self, log_age: float | FloatArray
    ) -> tuple[FloatArray, FloatArray]:
        """Return limits of the log cumulative hazard at a log relative age."""
        age = np.broadcast_to(log_age, self.shape_low.shape)[:, None]
        return extremes(self.log_rate + self.shape * age)

    def single(self) -> list["Region"]:
        """Return the regions one by one."""
        return [
            Region(
                self.shape[row : row + 1],
                self.log_rate[row : row + 1],
                self.shape_low[row : row + 1],
                self.shape_high[row : row + 1],
                self.open_low[row : row + 1],
            )
            for row in range(self.shape_low.size)
        ]


def likelihood_region(
    sums: LifeSums | PowerCurve,
    solution: Solution,
    drop: FloatArray,
    nodes: int = NODES,
    points: int = EDGE_POINTS,
) -> Region:
    """Follow the edge where the likelihood lies `drop` below its maximum.

    Parameters
    ----------
    sums : LifeSums or PowerCurve
        Populations, every one with a fit; a curve is one population for which
        several drops are asked at once.
    solution : Solution
        Their fits, every status OK; with a curve the same fit for each drop.
    drop : ndarray
        Half the threshold of the likelihood-ratio statistic.
    nodes, points : int
        Shapes at which powers are summed; points on half of the edge.
    """
    low, high, open_low = _shape_limits(sums, solution, drop)
    places, from_nodes, arc = _arc(nodes, points)
    middle, half = 0.5 * (low + high)[:, None], 0.5 * (high - low)[:, None]
    at_nodes = np.stack(
        [np.log(sums.powers(np.exp(u))) for u in (middle + half * places).T], axis=1
    )
    log_power = at_nodes @ from_nodes.T
    log_shape = middle + half * arc
    shape = np.exp(log_shape)
    failures = sums.failures[:, None]
    profile = (
        failures * (log_shape - log_power + np.log(failures) - 1.0)
        + shape * sums.failed_log_sum[:, None]
    )
    spare = profile - (solution.profile - drop)[:, None]
    below, above = _rate_offsets(np.maximum(spare, 0.0) / failures, open_low)
    centre = np.log(failures) - log_power
    return Region(
        shape=np.concatenate([shape, shape[:, -2:0:-1]], axis=1),
        log_rate=np.concatenate([centre + above, (centre + below)[:, -2:0:-1]], axis=1),
        shape_low=np.where(open_low, 0.0, np.exp(low)),
        shape_high=np.exp(high),
        open_low=open_low,
    )


def extremes(loop: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return least and greatest value along closed loops of even points.

    Notes
    -----
    A parabola through the extreme point and its neighbours removes the error
    of the finite number of points.
    """
    return -_greatest(-loop), _greatest(loop)


def _greatest(loop: FloatArray) -> FloatArray:
    best = loop.argmax(axis=1)
    rows = np.arange(loop.shape[0])
    points = loop.shape[1]
    before, here = loop[rows, (best - 1) % points], loop[rows, best]
    after = loop[rows, (best + 1) % points]
    bend = 2.0 * here - before - after
    tilt = 0.25 * (after - before)
    flat = bend <= 0.0
    lift = 2.0 * tilt * tilt / np.where(flat, 1.0, bend)
    return np.asarray(here + np.where(flat, 0.0, lift), dtype=np.float64)


def _shape_limits(
    sums: LifeSums | PowerCurve, solution: Solution, drop: FloatArray
) -> tuple[FloatArray, FloatArray, BoolArray]:
    """Return the log shapes where the profile has fallen by `drop`."""
    width = np.sqrt(2.0 * drop / np.maximum(solution.curvature, 1e-12))
    centre = np.log(solution.shape)
    high, _ = _shape_limit(sums, solution, drop, centre + np.minimum(width, 2.0))
    low, open_low = _shape_limit(sums, solution, drop, centre - np.minimum(width, 2.0))
    return low, high, open_low


def _shape_limit(
    sums: LifeSums | PowerCurve, solution: Solution, drop: FloatArray, start: FloatArray
) -> tuple[FloatArray, BoolArray]:
    """Search one limit; the root of the drop is nearly a line in ln shape."""
    centre = np.log(solution.shape)
    side = np.sign(start - centre)
    floor = centre + np.log(LEAST_SHAPE_SHARE)
    goal = np.sqrt(2.0 * drop)
    inner, outer = centre.copy(), np.where(side > 0.0, np.inf, -np.inf)
    here = start.copy()
    moving = np.ones(here.size, dtype=bool)
    for _ in range(SEARCH_STEPS):
        kept = sums if moving.all() else sums.chosen(moving)
        here[moving], inner[moving], outer[moving], moving[moving] = _limit_step(
            kept,
            solution.profile[moving],
            goal[moving],
            side[moving],
            (here[moving], inner[moving], outer[moving]),
        )
        below = here < floor
        here[below] = floor[below]
        moving &= ~below
        if not moving.any():
            break
    return here, (here <= floor) & (side < 0.0)


def _limit_step(
    sums: LifeSums | PowerCurve,
    best: FloatArray,
    goal: FloatArray,
    side: FloatArray,
    place: tuple[FloatArray, FloatArray, FloatArray],
) -> tuple[FloatArray, FloatArray, FloatArray, BoolArray]:
    here, inner, outer = place
    shape = np.exp(here)
    log_power, first, _ = sums.powers_with_slopes(shape)
    height = np.sqrt(2.0 * np.maximum(best - sums.profile_of(shape, log_power), 0.0))
    score = sums.failures + shape * (sums.failed_log_sum - sums.failures * first)
    inside = height < goal
    inner, outer = np.where(inside, here, inner), np.where(inside, outer, here)
    with np.errstate(divide="ignore", invalid="ignore"):
        step = np.clip((height - goal) * height / score, -1.0, 1.0)
        target = here + step
        bounded = np.isfinite(outer)
        fallback = np.where(bounded, 0.5 * (inner + outer), here + side)
        sound = (side * (target - inner) > 0.0) & (side * (outer - target) > 0.0)
    settled = np.abs(step) < SHAPE_TOLERANCE
    closed = np.abs(outer - inner) < SHAPE_TOLERANCE
    target = np.where(sound | settled, target, fallback)
    return target, inner, outer, ~(settled | closed)


def _rate_offsets(
    spare: FloatArray, open_low: BoolArray
) -> tuple[FloatArray, FloatArray]:
    """Solve exp(x) - 1 - x = spare for its negative and positive root.

    At a closed end of the loop both roots are zero by definition, which the
    rounding of `spare` would spoil.
    """
    roots = []
    for sign in (-1.0, 1.0):
        root = sign * np.sqrt(2.0 * spare)
        root = root - root**2 / 6.0 + root**3 / 36.0
        if sign > 0.0:
            # Far out the series runs away and the exponential takes over.
            far = np.log1p(spare + np.log1p(spare))
            root = np.where(spare > 2.0, far, root)
        for _ in range(ROOT_STEPS):
            slope = np.expm1(root)
            fall = np.where(slope == 0.0, 1.0, slope)
            root = root - np.where(slope == 0.0, 0.0, slope - root - spare) / fall
        root[:, -1] = 0.0
        root[:, 0] = np.where(open_low, root[:, 0], 0.0)
        roots.append(root)
    return roots[0], roots[1]


@cache
def _arc(nodes: int, points: int) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Chebyshev nodes on -1..1, the matrix to the edge points, the points."""
    at_nodes = chebyshev.chebpts2(nodes)
    arc = -np.cos(np.linspace(0.0, np.pi, points + 1))
    to_coefficients = np.linalg.inv(chebyshev.chebvander(at_nodes, nodes - 1))
    return at_nodes, chebyshev.chebvander(arc, nodes - 1) @ to_coefficients, arc
