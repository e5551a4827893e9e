"""Maximum of the Weibull profile likelihood, many populations at once."""

from dataclasses import dataclass
from enum import IntEnum

import numpy as np

from analytics.life.arrays import BoolArray, FloatArray, IntArray
from analytics.life.weibull.likelihood import LifeSums

MINIMUM_FAILURES = 3
STEP_TOLERANCE = 1e-11
MAXIMUM_STEPS = 200
# Pi over the root of six: the standard deviation of a log life at shape 1.
LOG_WEIBULL_SPREAD = 1.2825498301618641
LOWEST_SHAPE = 1e-3
# A characteristic life beyond this is no number that means anything.
LARGEST_LOG_SCALE = 650.0
GRID_POINTS = 48


class Status(IntEnum):
    """How the fit of one population ended."""

    OK = 0
    TOO_FEW_FAILURES = 1
    NO_SPREAD = 2
    NO_MAXIMUM = 3
    DID_NOT_CONVERGE = 4


@dataclass(frozen=True, slots=True, eq=False)
class Solution:
    """Maxima of many populations; NaN where the status is not OK.

    `log_scale` is relative to the greatest age of its population and
    `profile` lacks the constant of the sums. `curvature` is minus the second
    derivative of the profile in the log of the shape.
    """

    shape: FloatArray
    log_scale: FloatArray
    profile: FloatArray
    curvature: FloatArray
    status: IntArray

    def chosen(self, mask: BoolArray | IntArray) -> "Solution":
        """Return the populations where `mask` is true, or those it numbers."""
        return Solution(
            shape=self.shape[mask],
            log_scale=self.log_scale[mask],
            profile=self.profile[mask],
            curvature=self.curvature[mask],
            status=self.status[mask],
        )


@dataclass(slots=True, eq=False)
class _Search:
    """State of the search in the log of the shape."""

    sums: LifeSums
    log_shape: FloatArray
    low: FloatArray
    high: FloatArray


def solve(sums: LifeSums, minimum_failures: int = MINIMUM_FAILURES) -> Solution:
    """Find the shape and scale of greatest likelihood of each population.

    Notes
    -----
    With the scale eliminated, the score is r/k + sum ln t - r S'(k)/S(k). It
    falls steadily when nobody entered late, so that Newton's method in ln k,
    kept inside a shrinking bracket, finds its only root. With delayed entry
    the score can have several roots or none; a grid of shapes then finds the
    highest peak first.

    References
    ----------
    .. [1] Lawless, J. F., Statistical Models and Methods for Lifetime Data,
       2nd edition, 2003, section 5.2 (profile score) and section 2.4
       (delayed entry); from memory.
    """
    status = np.full(sums.failures.size, int(Status.OK), dtype=np.int64)
    status[sums.failed_log_spread == 0.0] = Status.NO_SPREAD
    status[sums.failures < minimum_failures] = Status.TOO_FEW_FAILURES
    usable = status == Status.OK
    log_shape = np.full(status.size, np.nan)
    if usable.any():
        kept = sums if usable.all() else sums.chosen(usable)
        log_shape[usable], status[usable] = _solve_usable(kept)
    solution = _solution(sums, log_shape, status)
    beyond = np.abs(solution.log_scale + sums.log_reference) > LARGEST_LOG_SCALE
    if not beyond.any():
        return solution
    status[beyond] = Status.NO_MAXIMUM
    return _solution(sums, log_shape, status)


def _solve_usable(sums: LifeSums) -> tuple[FloatArray, IntArray]:
    start = np.log(LOG_WEIBULL_SPREAD / sums.failed_log_spread)
    search = _Search(
        sums, start.copy(), np.full(start.size, -np.inf), np.full(start.size, np.inf)
    )
    status = np.full(start.size, int(Status.OK), dtype=np.int64)
    if sums.late.any():
        lost = _bracket_late(search)
        status[lost] = Status.NO_MAXIMUM
        search.log_shape[lost] = np.nan
    moving = status == Status.OK
    for _ in range(MAXIMUM_STEPS):
        if not moving.any():
            break
        moving[moving] = _newton_step(search, moving)
    status[moving] = Status.DID_NOT_CONVERGE
    return search.log_shape, status


def _newton_step(search: _Search, moving: BoolArray) -> BoolArray:
    """Move the chosen populations one step; tell which must go on."""
    sums = search.sums if moving.all() else search.sums.chosen(moving)
    here = search.log_shape[moving]
    shape = np.exp(here)
    _, first, second = sums.powers_with_slopes(shape)
    score = 1.0 + shape * (sums.failed_log_sum / sums.failures - first)
    low = np.where(score > 0.0, here, search.low[moving])
    high = np.where(score > 0.0, search.high[moving], here)
    steepness = 1.0 + shape * shape * second
    with np.errstate(divide="ignore", invalid="ignore"):
        step = np.clip(score / steepness, -2.0, 2.0)
        target = here + step
        outside = (steepness <= 0.0) | (target <= low) | (target >= high)
        middle = np.where(
            np.isfinite(low) & np.isfinite(high),
            0.5 * (low + high),
            here + np.where(score > 0.0, 1.0, -1.0),
        )
    settled = (np.abs(step) < STEP_TOLERANCE) & (steepness > 0.0)
    target = np.where(settled, here + step, np.where(outside, middle, target))
    search.log_shape[moving] = target
    search.low[moving], search.high[moving] = low, high
    closed = (high - low) < STEP_TOLERANCE
    return ~(settled | closed)


def _bracket_late(search: _Search) -> BoolArray:
    """Bracket the highest peak of populations with delayed entry.

    Returns the populations whose likelihood is highest at the lowest shape
    tried: it has no maximum at a positive shape.
    """
    late = search.sums.late
    sums = search.sums if late.all() else search.sums.chosen(late)
    start = search.log_shape[late]
    lowest = np.log(np.minimum(LOWEST_SHAPE, LOWEST_SHAPE * np.exp(start)))
    highest = start + np.log(100.0)
    parts = np.linspace(0.0, 1.0, GRID_POINTS)
    grid = lowest[:, None] + (highest - lowest)[:, None] * parts
    heights = np.stack([sums.profile(np.exp(column)) for column in grid.T], axis=1)
    peak = heights.argmax(axis=1)
    rows = np.arange(peak.size)
    search.log_shape[late] = grid[rows, peak]
    search.low[late] = grid[rows, np.maximum(peak - 1, 0)]
    top = grid[rows, np.minimum(peak + 1, GRID_POINTS - 1)]
    search.high[late] = np.where(peak == GRID_POINTS - 1, np.inf, top)
    lost = np.zeros(late.size, dtype=bool)
    lost[late] = peak == 0
    return lost


def _solution(sums: LifeSums, log_shape: FloatArray, status: IntArray) -> Solution:
    good = status == Status.OK
    shape = np.where(good, np.exp(np.where(good, log_shape, 0.0)), np.nan)
    safe = np.where(good, shape, 1.0)
    log_power, _, second = sums.powers_with_slopes(safe)
    failures = np.maximum(sums.failures, 1.0)
    blank = np.where(good, 0.0, np.nan)
    return Solution(
        shape=shape,
        log_scale=(log_power - np.log(failures)) / safe + blank,
        profile=sums.profile_of(safe, log_power) + blank,
        curvature=failures * (1.0 + safe * safe * second) + blank,
        status=status,
    )
