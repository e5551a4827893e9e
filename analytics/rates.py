"""Mean time between events for many rows at once, with exact limits."""

from dataclasses import dataclass

import numpy as np

from analytics.exposure import Floats, Ints
from analytics.life.mtbf import mtbf_interval


@dataclass(frozen=True, slots=True)
class MeanTime:
    """Mean time between events of one row, in the unit of its exposure.

    Without events `value` is None and `low` a one-sided lower bound; without
    exposure both are None.
    """

    exposure: float
    events: int
    value: float | None
    low: float | None
    high: float | None
    confidence: float


def mean_times(exposures: Floats, events: Ints, confidence: float) -> list[MeanTime]:
    """Estimate each row.

    The limits are proportional to the exposure, so the chi-square quantiles are
    worked out once for each count that occurs and not once for each row.
    """
    unit = {
        count: mtbf_interval(
            1.0, count, confidence, sided="two" if count else "lower"
        ).interval
        for count in np.unique(events).tolist()
    }
    lines = []
    for exposure, count in zip(exposures.tolist(), events.tolist(), strict=True):
        if exposure <= 0.0:
            lines.append(MeanTime(exposure, count, None, None, None, confidence))
            continue
        limits = unit[count]
        lines.append(
            MeanTime(
                exposure=exposure,
                events=count,
                value=exposure / count if count else None,
                low=exposure * limits.low,
                high=exposure * limits.high if count else None,
                confidence=confidence,
            )
        )
    return lines


def mean_time(exposure: float, events: int, confidence: float) -> MeanTime:
    """Estimate one row."""
    return mean_times(np.array([exposure]), np.array([events]), confidence)[0]
