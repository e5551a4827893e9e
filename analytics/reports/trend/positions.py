"""Positions whose own events come faster or slower, judged among all of them."""

from dataclasses import dataclass

import numpy as np

from analytics.life.compare import benjamini_hochberg
from analytics.life.recurrence import laplace_test, military_handbook_test
from analytics.reports.trend.histories import Histories

# With fewer events neither test can see more than the strongest of trends.
LEAST_EVENTS = 4
LEVEL = 0.10


@dataclass(frozen=True, slots=True)
class PositionTrend:
    """Both tests of one position.

    `p_value` is the larger of the two, as both must agree, and one where they
    point in different ways; `adjusted` holds for all positions tested together.
    """

    position: int
    site: int
    tag: str
    area: str
    events: int
    direction: str
    p_value: float
    adjusted: float
    stands_out: bool


def position_trends(histories: Histories) -> tuple[PositionTrend, ...]:
    """Every position with enough events, clearest trend first."""
    ends = histories.units["length"].to_numpy(float)
    units = histories.units.to_dict("records")
    tested = []
    for unit, ages, end in zip(units, histories.ages(), ends, strict=True):
        if ages.size < LEAST_EVENTS:
            continue
        laplace = laplace_test(ages, end)
        handbook = military_handbook_test(ages, end)
        agree = laplace.direction == handbook.direction
        p_value = max(laplace.p_value, handbook.p_value) if agree else 1.0
        tested.append((unit, int(ages.size), laplace.direction, p_value))
    if not tested:
        return ()
    found = benjamini_hochberg(np.array([row[-1] for row in tested]), LEVEL)
    rows = [
        PositionTrend(
            position=int(unit["position"]),
            site=int(unit["site"]),
            tag=str(unit["tag"]),
            area=str(unit["area_name"]),
            events=events,
            direction=direction,
            p_value=p_value,
            adjusted=float(found.adjusted[place]),
            stands_out=bool(found.rejected[place]),
        )
        for place, (unit, events, direction, p_value) in enumerate(tested)
    ]
    return tuple(sorted(rows, key=lambda row: (row.p_value, row.tag)))
