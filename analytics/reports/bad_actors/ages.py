"""When the events of a unit came, in days of its own service inside the window."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import pandas as pd

from analytics.exposure import Floats
from analytics.in_service import Service
from analytics.reports.bad_actors.own_trend import OwnTrend, own_trend


@dataclass(frozen=True, slots=True, eq=False)
class OwnEvents:
    """Ages at separate events and at the end of the watch, in days in service."""

    ages: Floats
    end: float


def own_events(
    spans: pd.DataFrame, days: Mapping[int, list[int]], service: Service
) -> dict[int, OwnEvents]:
    """Time of each unit counted over its spans, the gaps between them left out.

    `spans` has the columns key, start_day and end_day, several rows a unit where a
    machine stood at several places; `days` are day numbers of separate events.
    """
    window = service.scope.window
    spans = spans.assign(
        start_day=np.maximum(spans["start_day"], window.first_day),
        end_day=np.minimum(spans["end_day"], window.day_after),
    )
    spans = spans[spans["end_day"] > spans["start_day"]].sort_values("start_day")
    keys = spans["key"].to_numpy(dtype=np.int64)
    starts, ends = (
        spans[name].to_numpy(dtype=np.float64) for name in ("start_day", "end_day")
    )
    found = {}
    for key in np.unique(keys).tolist():
        own = keys == key
        moments = np.array(days.get(key, []), dtype=np.float64)
        found[key] = _in_own_time(starts[own], ends[own], moments)
    return found


def _in_own_time(starts: Floats, ends: Floats, days: Floats) -> OwnEvents:
    before = np.concatenate([np.zeros(1), np.cumsum(ends - starts)])
    # The middle of its day, so that no event falls on the very beginning.
    moments = days + 0.5
    row = np.searchsorted(starts, moments, side="right") - 1
    inside = (row >= 0) & (moments < ends[np.maximum(row, 0)])
    row, moments = row[inside], moments[inside]
    ages = np.sort(before[row] + moments - starts[row])
    return OwnEvents(ages, float(before[-1]))


def own_trends(
    events: Mapping[int, OwnEvents], confidence: float
) -> dict[int, OwnTrend]:
    """Trend of each unit by itself; among many units a few show one by chance."""
    return {
        key: own_trend(own.ages, own.end, confidence) for key, own in events.items()
    }
