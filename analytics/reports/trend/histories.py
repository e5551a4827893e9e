"""Histories of positions: their counted events by time since their records began.

The time of a position starts the day its own records begin, or the day it went into
service where that is later. It is no age: what stood there had run before.
"""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import numpy as np
import pandas as pd

from analytics.exposure import MONTH_DAYS, Flags, Floats, rows_of
from analytics.in_service import Service, service_load
from analytics.life.recurrence import History
from analytics.reports.trend.question import Counted, TrendClock, TrendQuestion
from analytics.rework import first_of_event
from plant.days import FIRST_DAY
from plant.display import count, percent
from records.selectors.exposure import day_starts
from records.selectors.histories import reading_spans
from records.selectors.hours import RunningHours, running_hours

# No log of pumps reaches further back.
FIRST_EVENTS = FIRST_DAY
# Share of the hours between two readings that may rest on no meter: a meter change.
MOST_ESTIMATED = 0.05
# What was reported as the watch began has to lie within it.
AT_ONCE = {TrendClock.DAYS: 0.5, TrendClock.HOURS: 0.01}


@dataclass(frozen=True, slots=True, eq=False)
class Histories:
    """Positions with the time each was watched, and when its events came.

    `units` has one row a position with its `length`; `row` and `age` of `events`
    say whose each event is and when it came, in the unit of the clock.
    """

    clock: TrendClock
    units: pd.DataFrame
    events: pd.DataFrame
    notes: tuple[str, ...] = ()

    @property
    def exposure(self) -> float:
        """Position-months, or running hours."""
        total = float(self.units["length"].sum())
        return total / MONTH_DAYS if self.clock is TrendClock.DAYS else total

    def chosen(self, members: Flags) -> "Histories":
        """Some of the positions with their events."""
        new_row = np.cumsum(members) - 1
        row = self.events["row"].to_numpy(np.int64)
        kept = members[row]
        events = self.events[kept].assign(row=new_row[row[kept]])
        return Histories(
            self.clock,
            self.units[members].reset_index(drop=True),
            events.reset_index(drop=True),
            self.notes,
        )

    def ages(self) -> list[Floats]:
        """Times of the events, one array a position."""
        row = self.events["row"].to_numpy(np.int64)
        order = np.argsort(row, kind="stable")
        ages = self.events["age"].to_numpy(float)[order]
        begins = np.searchsorted(row[order], np.arange(1, len(self.units)))
        return np.split(ages, begins) if len(self.units) else []

    def histories(self) -> list[History]:
        """The same for the mean curve."""
        lengths = self.units["length"].to_numpy(float)
        return [
            History(ages, float(length))
            for ages, length in zip(self.ages(), lengths, strict=True)
        ]


def histories_load(question: TrendQuestion) -> Histories:
    """Read the positions of a question with their events."""
    service = service_load(question.loaded, since=FIRST_EVENTS)
    if question.counted is Counted.FAILURES:
        service = _failures_only(service)
    notes = [_out_of_service(service, question.counted)]
    events = service.events
    if question.merges_rework:
        merged = _rework_merged(service)
        notes.append(
            f"{count(len(events) - len(merged), 'rework')} merged into the event that "
            "it reworked."
        )
        events = merged
    made = _by_day if question.clock is TrendClock.DAYS else _by_hours
    found = made(service, events)
    said = tuple(note for note in (*notes, *found.notes) if note)
    return Histories(found.clock, found.units, found.events, said)


def _failures_only(service: Service) -> Service:
    events, left_out = (
        table[table["is_failure"].to_numpy(dtype=bool)]
        for table in (service.events, service.left_out)
    )
    return Service(service.scope, service.spans, events, left_out)


def _out_of_service(service: Service, counted: Counted) -> str:
    if not len(service.left_out):
        return ""
    return (
        f"{count(len(service.left_out), f'counted {counted.one}')} left out: reported "
        "on a day when the position was not in service or its records had not begun."
    )


def _rework_merged(service: Service) -> pd.DataFrame:
    windows = {site.pk: site.rework_window_days for site in service.scope.sites}
    events = service.events
    row = events["row"].to_numpy(np.int64)
    site = service.spans["site"].to_numpy()[row]
    opens = first_of_event(
        row,
        events["day"].to_numpy(),
        events["back_day"].to_numpy(),
        np.array([windows[pk] for pk in site], dtype=np.int64),
    )
    return events[opens]


def _by_day(service: Service, events: pd.DataFrame) -> Histories:
    """Calendar days: whole days, so that what came on one day is one step."""
    spans = service.spans
    after = np.minimum(spans["end_day"], service.scope.window.day_after)
    length = (after - spans["start_day"]).to_numpy(float)
    known = spans["known_start"].to_numpy(bool)
    notes = []
    unknown = int((~known).sum())
    if unknown:
        notes.append(
            f"{count(unknown, 'position')} left out: neither a day in service nor a "
            "start of records is known."
        )
    start = spans["start_day"].to_numpy()[events["row"].to_numpy(np.int64)]
    age = events["day"].to_numpy() - start
    return _watched(
        TrendClock.DAYS,
        spans.assign(length=length),
        events.assign(age=age),
        known & (length > 0),
        notes,
    )


def _watched(
    clock: TrendClock,
    units: pd.DataFrame,
    events: pd.DataFrame,
    members: Flags,
    notes: list[str],
) -> Histories:
    """Keep the positions that were watched, and their events within the watch."""
    row = events["row"].to_numpy(np.int64)
    length = units["length"].to_numpy(float)[row]
    age = events["age"].to_numpy(float)
    age = np.maximum(age, np.minimum(AT_ONCE[clock], length))
    events = events.assign(age=np.minimum(age, length))
    return Histories(clock, units, events, tuple(notes)).chosen(members)


def _by_hours(service: Service, events: pd.DataFrame) -> Histories:
    """Running hours between the first and the last reading of each meter."""
    spans, positions = service.spans, service.scope.positions()
    last_day = service.scope.window.day_after
    after = np.minimum(spans["end_day"].to_numpy(np.int64), last_day)
    zones = spans["zone"].to_numpy()
    # A beginning that nobody knows lies before any log; the clock takes no such day.
    first_day = np.maximum(
        spans["start_day"].to_numpy(np.int64), FIRST_EVENTS.toordinal()
    )
    opened = day_starts(np.minimum(first_day, after), zones)
    closed = day_starts(after, zones)
    start, end = _read_between(service, opened, closed)
    watched = running_hours(positions, spans, start, end)
    metered = (watched.hours > 0) & (
        np.abs(watched.estimated) <= MOST_ESTIMATED * watched.hours
    )
    at = events["reported_s"].to_numpy(float)
    row = events["row"].to_numpy(np.int64)
    inside = (at > start[row]) & (at <= end[row])
    outside = int((metered[row] & ~inside).sum())
    events, row, at = events[inside], row[inside], at[inside]
    places = spans.iloc[row][["position", "zone"]].reset_index(drop=True)
    ages = running_hours(positions, places, start[row], at).hours
    return _watched(
        TrendClock.HOURS,
        spans.assign(length=watched.hours),
        events.assign(age=ages),
        metered,
        _hours_notes(metered, watched, outside),
    )


def _read_between(
    service: Service, opened: Floats, closed: Floats
) -> tuple[Floats, Floats]:
    """First and last reading while in service; the same moment twice without any."""
    until = datetime.combine(
        service.scope.window.end, datetime.min.time(), UTC
    ) + timedelta(days=2)
    read = reading_spans(service.scope.positions(), until=until)
    pairs = pd.Series(read, dtype=object).reindex(service.spans["position"])
    first, last = (
        np.array(
            [
                pair[end].timestamp() if isinstance(pair, tuple) else 0.0
                for pair in pairs
            ]
        )
        for end in (0, 1)
    )
    start = np.clip(first, opened, closed)
    return start, np.maximum(start, np.clip(last, opened, closed))


def _hours_notes(metered: Flags, watched: RunningHours, outside: int) -> list[str]:
    notes = []
    bare = int((~metered).sum())
    if bare:
        notes.append(
            f"{count(bare, 'position')} left out: running hours are not measured "
            f"there, or more than {percent(MOST_ESTIMATED)} of them rest on no meter."
        )
    if outside:
        notes.append(
            f"{count(outside, 'event')} left out: before the first or after the last "
            "reading of the meter."
        )
    if watched.estimated[metered].any():
        notes.append(
            "Some hours, where a meter was changed, are filled in by the running share."
        )
    return notes


def position_row(histories: Histories, position: int) -> int:
    """Row of a position among the units; -1 where it takes no part."""
    wanted = pd.Series([position])
    return int(rows_of(wanted, histories.units["position"])[0])
