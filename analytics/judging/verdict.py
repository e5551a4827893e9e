"""The verdict on a thing done: repairs after it against what was to be expected."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from scipy import optimize, stats

from analytics.judging.expectation import FrozenExpectation
from analytics.judging.pools import Floats
from analytics.life.arrays import checked_confidence
from analytics.life.compare import RateRatio, rate_ratio
from analytics.life.results import Interval

HALVED = 0.5
# Ratios beyond these are shown as none and as without limit.
LEAST, GREATEST = 1e-4, 1e4
REACH = (float(np.log(0.001)), float(np.log(50.0)))
SCALES = (np.arange(15) + 0.5) / 15


class Finding(StrEnum):
    """The value is what a page prints."""

    WORKS = "works"
    DOES_NOT = "does not work"
    UNPROVEN = "unproven"
    TOO_EARLY = "too early"


@dataclass(frozen=True, slots=True)
class Judgement:
    """Events after against the expectation of the day of the decision.

    `expected` and `expected_interval` tell what all treated units together would have
    had if nothing changed. `ratio` is events over expected with limits that hold the
    error of the expectation. `chance` is that of so few events if nothing changed,
    `chance_beside_equals` the same if the treated changed as their untreated equals
    did. `against_equals` compares the plain rates after. Before the planned date
    nothing but description is given and `finding` is TOO_EARLY.
    """

    finding: Finding
    reason: str
    events: int
    expected: float
    expected_interval: tuple[int, int]
    ratio: float
    ratio_interval: Interval
    chance: float
    chance_beside_equals: float
    against_equals: RateRatio | None

    @property
    def is_final(self) -> bool:
        return self.finding is not Finding.TOO_EARLY


def judge(
    frozen: FrozenExpectation,
    events_after: int,
    exposure_after: Sequence[float],
    untreated_events: int,
    untreated_exposure: float,
    confidence: float = 0.90,
    *,
    is_due: bool,
    promised: float = HALVED,
) -> Judgement:
    """Judge a thing done; one verdict, on the planned date (`is_due`).

    `events_after` are of all treated units together, `exposure_after` of each in the
    order of the expectation. `promised` is the ratio of after to before that was
    hoped for: falling short of it beyond chance is what "does not work" means.
    InvalidSample if a number is out of range.
    """
    half = 0.5 * (1.0 - checked_confidence(confidence))
    counts = (events_after, exposure_after, untreated_events, untreated_exposure)
    finding, reason = Finding.TOO_EARLY, "The planned date has not come."
    if is_due:
        finding, reason = finding_of(frozen, *counts, confidence, promised=promised)
    unchanged = frozen.count_chances(exposure_after)
    sums = np.cumsum(unchanged)
    expected = frozen.expected(exposure_after)
    return Judgement(
        finding=finding,
        reason=reason,
        events=events_after,
        expected=expected,
        expected_interval=(
            int(np.searchsorted(sums, half)),
            int(np.searchsorted(sums, 1.0 - half)),
        ),
        ratio=events_after / expected,
        ratio_interval=_ratio_interval(
            frozen, events_after, exposure_after, confidence
        ),
        chance=_at_most(unchanged, events_after),
        chance_beside_equals=_beside_equals(frozen, *counts),
        against_equals=_against_equals(*counts, confidence),
    )


def _against_equals(
    events: int,
    exposure: Sequence[float],
    untreated_events: int,
    untreated_exposure: float,
    confidence: float,
) -> RateRatio | None:
    """The plain rates after, treated over untreated; None without untreated."""
    if untreated_exposure <= 0:
        return None
    time = float(np.sum(exposure))
    return rate_ratio(events, time, untreated_events, untreated_exposure, confidence)


def finding_of(
    frozen: FrozenExpectation,
    events_after: int,
    exposure_after: Sequence[float],
    untreated_events: int,
    untreated_exposure: float,
    confidence: float = 0.90,
    *,
    promised: float = HALVED,
) -> tuple[Finding, str]:
    """The verdict of `judge` on the planned date, with its reason, and no more."""
    half = 0.5 * (1.0 - checked_confidence(confidence))
    unchanged = frozen.count_chances(exposure_after)
    if _at_most(unchanged, events_after) <= half:
        beside = _beside_equals(
            frozen, events_after, exposure_after, untreated_events, untreated_exposure
        )
        if beside <= half:
            reason = "Fewer events than chance explains if nothing changed."
            return Finding.WORKS, reason
        reason = "Fewer events than expected, but so had the untreated equals."
        return Finding.UNPROVEN, reason
    if unchanged[0] > half:
        return (
            Finding.UNPROVEN,
            "So few events were to be expected that even none would prove nothing.",
        )
    kept = frozen.count_chances(exposure_after, (promised,))
    if 1.0 - _at_most(kept, events_after - 1) <= half:
        return Finding.DOES_NOT, "More events than the promised effect leaves room for."
    return Finding.UNPROVEN, "Both no change and the promised effect explain the count."


def _beside_equals(
    frozen: FrozenExpectation,
    events: int,
    exposure: Sequence[float],
    untreated_events: int,
    untreated_exposure: float,
) -> float:
    """Chance of so few events if the treated changed as their equals did."""
    scales: Sequence[float] = (1.0,)
    if untreated_exposure > 0 and frozen.equal_events > 0:
        scales = _change_of_equals(frozen, untreated_events, untreated_exposure)
    return _at_most(frozen.count_chances(exposure, scales), events)


def _change_of_equals(
    frozen: FrozenExpectation, events: int, exposure: float
) -> tuple[float, ...]:
    """Equally likely values of how the rate of the untreated equals changed.

    Counts after and before are each taken to vary as a Poisson count; the ratio of
    two gamma variables is that of the parts of a beta variable.
    """
    parts = stats.beta.ppf(SCALES, events + 0.5, frozen.equal_events + 0.5)
    before = frozen.equal_events + 0.5
    expected = max(frozen.equal_rate * exposure, np.finfo(float).tiny)
    return tuple((parts / (1.0 - parts) * before / expected).tolist())


def _ratio_interval(
    frozen: FrozenExpectation,
    events: int,
    exposure: Sequence[float],
    confidence: float,
) -> Interval:
    """Ratios under which so few, or so many, events are not too rare."""
    half = 0.5 * (1.0 - confidence)

    def too_few(log_ratio: float) -> float:
        scales = (float(np.exp(log_ratio)),)
        return _at_most(frozen.count_chances(exposure, scales), events) - half

    def too_many(log_ratio: float) -> float:
        scales = (float(np.exp(log_ratio)),)
        below = _at_most(frozen.count_chances(exposure, scales), events - 1)
        return below - (1.0 - half)

    guess = max(events, 0.5) / max(frozen.expected(exposure), np.finfo(float).tiny)
    low = 0.0 if events == 0 else _root(too_many, LEAST, guess)
    high = _root(too_few, GREATEST, guess)
    return Interval(low, high, confidence, "gamma-Poisson")


def _root(excess: Callable[[float], float], beyond: float, guess: float) -> float:
    """Where a falling function of the log ratio crosses zero, or `beyond`.

    Bracketed outward from a guess: far from it the counts are long and slow.
    """
    start = end = float(np.clip(np.log(guess), *REACH))
    step = 0.5
    while excess(start) < 0:
        if start <= REACH[0]:
            return beyond
        start, step = max(start - step, REACH[0]), 2 * step
    step = 0.5
    while excess(end) > 0:
        if end >= REACH[1]:
            return beyond
        end, step = min(end + step, REACH[1]), 2 * step
    if start == end:
        return float(np.exp(start))
    return float(np.exp(optimize.brentq(excess, start, end, xtol=1e-4)))


def _at_most(chances: Floats, events: int) -> float:
    return float(chances[: events + 1].sum()) if events >= 0 else 0.0
