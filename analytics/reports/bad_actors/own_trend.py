"""Whether a unit's own events come faster or slower inside the window."""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike

from analytics.life.errors import LifeError
from analytics.life.recurrence import (
    laplace_test,
    military_handbook_test,
    power_law_fit,
)
from analytics.life.results import Interval

# With fewer events neither test can see more than the strongest of trends.
LEAST_EVENTS = 4


class Course(StrEnum):
    """The value is what a page prints."""

    FASTER = "comes faster"
    SLOWER = "comes slower"
    STEADY = "no trend beyond chance"
    TOO_FEW = "too few events to tell"


@dataclass(frozen=True, slots=True)
class OwnTrend:
    """Power-law shape of a unit's events; above one they come faster.

    A course is told only when the Laplace test, that of MIL-HDBK-189 and the interval
    of the shape agree. `p_value` is the larger of the two.
    """

    course: Course
    events: int
    shape: float | None = None
    interval: Interval | None = None
    p_value: float | None = None


def own_trend(ages: ArrayLike, end: float, confidence: float = 0.90) -> OwnTrend:
    """Trend of events at `ages`, above zero and up to `end`, the time watched.

    InvalidSample if an age lies outside of the time watched.
    """
    own = np.sort(np.asarray(ages, dtype=float))
    if own.size < LEAST_EVENTS:
        return OwnTrend(Course.TOO_FEW, int(own.size))
    tests = laplace_test(own, end), military_handbook_test(own, end)
    p_value = max(test.p_value for test in tests)
    try:
        fit = power_law_fit(own, end, confidence=confidence)
    except LifeError:
        return OwnTrend(Course.STEADY, int(own.size), p_value=p_value)
    limits = fit.shape_interval
    course = Course.STEADY
    if p_value <= 1.0 - confidence:
        directions = {test.direction for test in tests}
        if directions == {"worsening"} and limits.low > 1:
            course = Course.FASTER
        elif directions == {"improving"} and limits.high < 1:
            course = Course.SLOWER
    return OwnTrend(course, int(own.size), fit.shape, limits, p_value)
