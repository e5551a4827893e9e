"""Running hours inside spans of time: from meter readings, else estimated."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd
from django.db.models import QuerySet

from plant.models import DutyPeriod, Position
from records.models import HourReading
from records.selectors.exposure import day_starts
from records.selectors.moments import SECOND, Microseconds, microseconds_counted

HOUR = 3600.0
# A meter cannot run faster than the clock; what is above is a wrong reading.
FASTEST = 1.001
# Larger than any time stamp, so that (row, time) pairs sort as one number.
ROW_STEP = 1e11

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class RunningHours:
    """Hours of each span; `estimated` is the part that no meter vouches for."""

    hours: Floats
    estimated: Floats
    assumed_full: int
    """Positions without a running share, taken as running all the time."""


@dataclass(frozen=True, slots=True)
class _ShareCurve:
    """Calendar hours x running share since a position's first duty period."""

    keys: Floats
    start: Floats
    share: Floats
    done: Floats

    def at(self, row: Ints, moment: Floats) -> Floats:
        """Hours run by `moment`, up to a constant of each row."""
        place = np.searchsorted(self.keys, row * ROW_STEP + moment, side="right") - 1
        # Before its first duty period a position has the share of that period.
        # Half a step back: a period from before 1970 has a time stamp below nought.
        first = np.searchsorted(self.keys, (row - 0.5) * ROW_STEP)
        place = np.maximum(place, first)
        since = (moment - self.start[place]) / HOUR
        return np.asarray(self.done[place] + since * self.share[place])


def running_hours(
    positions: QuerySet[Position],
    spans: pd.DataFrame,
    starts: Floats,
    ends: Floats,
) -> RunningHours:
    """Running hours of each row of `spans` from `starts` to `ends`.

    `spans` names a `position` and its `zone`; a position may come more than
    once. `starts` and `ends` are seconds since 1970.
    """
    places = spans[["position", "zone"]].drop_duplicates("position")
    known = pd.Index(places["position"])
    row = np.asarray(known.get_indexer(pd.Index(spans["position"])), dtype=np.int64)
    ends = np.maximum(starts, ends)
    curve, assumed = _share_curve(positions, places)
    estimated = curve.at(row, ends) - curve.at(row, starts)
    measured = np.zeros(len(spans))
    for_span, segment = _overlapping(_segments(positions, known), row, starts, ends)
    if len(for_span):
        low = np.maximum(starts[for_span], segment["start"].to_numpy())
        high = np.minimum(ends[for_span], segment["end"].to_numpy())
        hours = (high - low) / HOUR * segment["rate"].to_numpy()
        np.add.at(measured, for_span, hours)
        replaced = curve.at(row[for_span], high) - curve.at(row[for_span], low)
        np.subtract.at(estimated, for_span, replaced)
    # What is left of a difference of large sums is rounding, not running.
    estimated = np.where(np.abs(estimated) < 1e-6, 0.0, estimated)
    return RunningHours(measured + estimated, estimated, assumed)


def _share_curve(
    positions: QuerySet[Position], places: pd.DataFrame
) -> tuple[_ShareCurve, int]:
    rows = DutyPeriod.objects.filter(
        position__in=positions.order_by().values("pk")
    ).values_list("position", "starts_on", "running_share")
    table = pd.DataFrame(list(rows), columns=["position", "starts_on", "share"])
    table = table[table["position"].isin(places["position"])]
    missing = places[~places["position"].isin(table["position"])]
    zones = table[["position"]].merge(places, on="position")["zone"]
    days = np.array([day.toordinal() for day in table["starts_on"]], dtype=np.int64)
    known = pd.Index(places["position"])
    periods = pd.DataFrame(
        {
            "row": known.get_indexer(
                pd.Index([*table["position"], *missing["position"]])
            ),
            "start": [*day_starts(days, zones.to_numpy()), *[0.0] * len(missing)],
            "share": [*table["share"], *[1.0] * len(missing)],
        }
    ).sort_values(["row", "start"], kind="stable")
    row, start, share = (periods[name].to_numpy() for name in periods)
    length = np.where(np.diff(row, append=-1) == 0, np.diff(start, append=0.0), 0.0)
    total = np.cumsum(length / HOUR * share)
    done = np.concatenate([[0.0], total[:-1]]) if len(total) else total
    curve = _ShareCurve(row * ROW_STEP + start, start, share, done)
    return curve, len(missing)


def _segments(positions: QuerySet[Position], known: "pd.Index[int]") -> pd.DataFrame:
    """Stretches between two readings of one meter, with hours run per hour."""
    rows = (
        HourReading.objects.filter(position__in=positions.order_by().values("pk"))
        .order_by("position", "read_at")
        .values_list("position", Microseconds("read_at"), "meter_hours", "is_new_meter")
    )
    table = pd.DataFrame(list(rows), columns=["position", "at", "meter", "new"])
    row = known.get_indexer(pd.Index(table["position"]))
    at = microseconds_counted(table["at"]) / SECOND
    meter = table["meter"].to_numpy(dtype=float)
    run, clock = np.diff(meter), np.diff(at) / HOUR
    believed = (
        (np.diff(row) == 0)
        & (row[:-1] >= 0)
        & ~table["new"].to_numpy(dtype=bool)[1:]
        & (run >= 0)
        & (clock > 0)
        & (run <= clock * FASTEST)
    )
    segments = pd.DataFrame(
        {
            "row": row[:-1][believed],
            "start": at[:-1][believed],
            "end": at[1:][believed],
            "rate": run[believed] / clock[believed],
        }
    )
    # Rows are numbered as the caller lists positions, readings come by position.
    return segments.sort_values(["row", "start"], kind="stable")


def _overlapping(
    segments: pd.DataFrame, row: Ints, starts: Floats, ends: Floats
) -> tuple[Ints, pd.DataFrame]:
    """Every pair of a span and a stretch of its position that it meets."""
    order = segments["row"].to_numpy() * ROW_STEP
    first = np.searchsorted(order + segments["end"].to_numpy(), row * ROW_STEP + starts)
    last = np.searchsorted(order + segments["start"].to_numpy(), row * ROW_STEP + ends)
    counts = np.maximum(last - first, 0)
    for_span = np.repeat(np.arange(len(row)), counts)
    steps = np.arange(counts.sum()) - np.repeat(np.cumsum(counts) - counts, counts)
    return for_span, segments.iloc[np.repeat(first, counts) + steps]
