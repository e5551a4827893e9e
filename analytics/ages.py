"""Age and entry age of each life on one clock: hours, days or starts.

Whether a life is used at all is decided in analytics.samples.
"""

from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from analytics.service_time import Service, seconds, service_between
from plant.choices import Beginning, ConditionFitted
from records.selectors.lives import LifeTables, last_readings

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
HOURS_PER_DAY = 24.0
LEAST_SHARE = 0.001


class Clock(StrEnum):
    """What an age is counted in; one fit never mixes two of them."""

    HOURS = "hours"
    DAYS = "days"
    STARTS = "starts"


UNITS = {Clock.HOURS: "h", Clock.DAYS: "d", Clock.STARTS: "starts"}


@dataclass(frozen=True, slots=True, eq=False)
class LifeAges:
    """Ages in the unit of the clock; not-a-number where not known."""

    age: Floats
    entry: Floats
    estimated: Flags


@dataclass(frozen=True, slots=True, eq=False)
class Watch:
    """Seconds since 1970: start and end of each life, and when its watch began.

    `end` of a life that is still in is the as-of moment; `watched_from` is its start
    where the records begin no later.
    """

    start: Floats
    watched_from: Floats
    end: Floats
    is_ended: Flags


def life_ages(
    tables: LifeTables,
    *,
    started: "pd.Series[pd.Timestamp]",
    ended: "pd.Series[pd.Timestamp]",
    as_of: pd.Timestamp,
    clock: Clock,
    measured_only: bool = False,
) -> LifeAges:
    """Age of each life at its end and at the beginning of the records.

    Parameters
    ----------
    tables : LifeTables
        The lives and what their hours rest on.
    started, ended : Series
        One moment a life; `ended` is empty for what is still in at `as_of`.
    as_of : Timestamp
        Where lives still in are cut.
    clock : Clock
        Unit of the answer.
    measured_only : bool
        Cut lives still in at the last reading, so that their hours are measured.
    """
    watch = _watch(tables.lives, started, ended, as_of)
    if measured_only and clock is Clock.HOURS:
        watch = _cut_at_last_reading(tables, watch)
    before, after = service_between(
        tables,
        watch.start,
        watch.watched_from,
        watch.end,
        in_running_hours=clock is Clock.HOURS,
    )
    whole = before.plus(after)
    if clock is Clock.DAYS:
        return _days(tables.lives, whole, before)
    if clock is Clock.STARTS:
        return _starts(tables.lives, watch.is_ended, whole, before)
    return _hours(tables.lives, watch.is_ended, whole, before)


def _watch(
    lives: pd.DataFrame,
    started: "pd.Series[pd.Timestamp]",
    ended: "pd.Series[pd.Timestamp]",
    as_of: pd.Timestamp,
) -> Watch:
    start, end = seconds(started), seconds(ended)
    is_ended = ~np.isnan(end)
    last = np.fmin(as_of.timestamp(), seconds(lives["retired_at"]))
    end = np.maximum(start, np.where(is_ended, end, last))
    records_from = seconds(lives["records_from"])
    watched_from = np.minimum(end, np.fmax(start, records_from))
    return Watch(start, watched_from, end, is_ended)


def _cut_at_last_reading(tables: LifeTables, watch: Watch) -> Watch:
    read = {
        position: moment.timestamp()
        for position, moment in last_readings(tables.positions).items()
    }
    stands = tables.placements.sort_values("placed_at").drop_duplicates(
        "pump_id", keep="last"
    )
    position = tables.lives["pump_id"].map(
        dict(zip(stands["pump_id"], stands["position_id"], strict=True))
    )
    last = position.map(read).to_numpy(float)
    within = (last > watch.start) & (last < watch.end)
    end = np.where(~watch.is_ended & within, last, watch.end)
    return replace(watch, end=end, watched_from=np.minimum(watch.watched_from, end))


def _days(lives: pd.DataFrame, whole: Service, before: Service) -> LifeAges:
    days = lives["age_at_entry_days"].to_numpy(float)
    share = lives["running_share"].to_numpy(float)
    run = lives["age_at_entry_hours"].to_numpy(float)
    spread = np.full_like(run, np.nan)
    # A pump that hardly ever runs says nothing of its days by its hours.
    np.divide(run / HOURS_PER_DAY, share, out=spread, where=share >= LEAST_SHARE)
    inferred = np.isnan(days)
    earlier = _earlier_age(lives, np.where(inferred, spread, days))
    return LifeAges(
        age=earlier + whole.calendar / HOURS_PER_DAY,
        entry=earlier + before.calendar / HOURS_PER_DAY,
        estimated=_had_earlier_age(lives) & inferred,
    )


def _hours(
    lives: pd.DataFrame, is_ended: Flags, whole: Service, before: Service
) -> LifeAges:
    hours = lives["age_at_entry_hours"].to_numpy(float)
    days = lives["age_at_entry_days"].to_numpy(float)
    share = lives["running_share"].to_numpy(float)
    inferred = np.isnan(hours)
    recorded = np.where(inferred, days * HOURS_PER_DAY * share, hours)
    earlier = _earlier_age(lives, recorded)
    run = (lives["removed_hours"] - lives["fitted_hours"]).to_numpy(float)
    by_meter = is_ended & (run >= 0)
    run_before = run * _share_before(whole, before)
    return LifeAges(
        age=earlier + np.where(by_meter, run, whole.running),
        entry=earlier + np.where(by_meter, run_before, before.running),
        estimated=(_had_earlier_age(lives) & inferred)
        | (~by_meter & whole.is_estimated),
    )


def _starts(
    lives: pd.DataFrame, is_ended: Flags, whole: Service, before: Service
) -> LifeAges:
    starts = (lives["removed_starts"] - lives["fitted_starts"]).to_numpy(float)
    # Starts before the records of a part begin are written down nowhere.
    known = is_ended & (starts >= 0) & ~_had_earlier_age(lives)
    starts = np.where(known, starts, np.nan)
    return LifeAges(
        age=starts,
        entry=starts * _share_before(whole, before),
        estimated=np.zeros(len(lives), dtype=bool),
    )


def _share_before(whole: Service, before: Service) -> Floats:
    """Share of the service that lay before the records, by calendar."""
    total = whole.calendar
    return np.divide(before.calendar, total, out=np.zeros_like(total), where=total > 0)


def _had_earlier_age(lives: pd.DataFrame) -> Flags:
    """Whether a part was not new at its fitting or at the start of its records."""
    aged = (lives["beginning"] == Beginning.AGE_KNOWN) | (
        lives["condition_fitted"] == ConditionFitted.REFITTED
    )
    return aged.to_numpy(bool)


def _earlier_age(lives: pd.DataFrame, recorded: Floats) -> Floats:
    return np.where(_had_earlier_age(lives), recorded, 0.0)
