"""The MTBR page: mean time between repairs and failures of groups of positions."""

from dataclasses import dataclass, field, replace

import numpy as np
import pandas as pd
from django.db import models

from analytics.exposure import (
    MONTH_DAYS,
    Floats,
    Ints,
    Window,
    events_in_windows,
    exposure_days,
    months_back,
    rolling_windows,
)
from analytics.in_service import Service, service_load
from analytics.rates import MeanTime, mean_times
from analytics.reports.mtbr.component_time import ComponentTime, component_time
from analytics.scope import Scope
from plant.display import count
from plant.models import Position
from records.selectors.hours import RunningHours

ROLLING_POINTS = 36
ROLLING_MONTHS = 12


class Grouping(models.TextChoices):
    """What one line of the table stands for."""

    FLEET = "fleet", "Whole fleet"
    SITE = "site", "Site"
    AREA = "area", "Area"
    POSITION = "position", "Position"
    PLAN = "plan", "Seal piping plan"
    DESIGNATION = "designation", "Bearing designation"

    @property
    def is_component(self) -> bool:
        return self in (Grouping.PLAN, Grouping.DESIGNATION)


@dataclass(frozen=True, slots=True)
class RateLine:
    """One group: repairs over calendar months, failures over running hours.

    In a line of components both count component failures, over the time that
    the components were in service.
    """

    label: str
    key: int
    units: int
    calendar: MeanTime
    open_repairs: int
    running: MeanTime
    estimated_hours: float

    @property
    def is_estimated(self) -> bool:
        return self.estimated_hours > 0


@dataclass(frozen=True, slots=True)
class RollingPoint:
    """The window of months that ends on `window.end`."""

    window: Window
    rate: MeanTime


@dataclass(frozen=True, slots=True)
class MtbrReport:
    scope: Scope
    grouping: Grouping
    total: RateLine
    lines: list[RateLine]
    rolling: list[RollingPoint] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    @property
    def table_caption(self) -> str:
        return f"By {self.grouping.label.lower()}"


@dataclass(frozen=True, slots=True)
class _Tally:
    """Exposure rows with the group of each, and events with the group of each."""

    groups: Ints
    days: Floats
    hours: RunningHours
    repairs: Ints
    failures: Ints
    still_open: Ints


def mtbr_report(scope: Scope, grouping: Grouping) -> MtbrReport:
    """Everything the MTBR page, its chart and its export show."""
    if grouping.is_component:
        return _component_report(scope, grouping)
    since = min(
        scope.window.start,
        months_back(scope.window.end, ROLLING_POINTS + ROLLING_MONTHS),
    )
    service = service_load(scope, since=since)
    labels, keys, groups = _position_groups(service.spans, grouping)
    hours = service.hours_in(scope.window)
    tally = _position_tally(service, groups, hours)
    total = _position_tally(service, np.zeros_like(groups), hours)
    return MtbrReport(
        scope=scope,
        grouping=grouping,
        total=_lines(scope, total, ["All"], [0])[0],
        lines=_in_service(_lines(scope, tally, labels, keys)),
        rolling=rolling_mtbr(service),
        notes=_position_notes(service, hours),
    )


def rolling_mtbr(service: Service) -> list[RollingPoint]:
    """Mean time between repairs of all rows together, month by month."""
    windows = rolling_windows(
        service.scope.window.end, points=ROLLING_POINTS, months=ROLLING_MONTHS
    )
    months = np.array(
        [exposure_days(service.spans, window).sum() / MONTH_DAYS for window in windows]
    )
    repairs = events_in_windows(service.events["day"].to_numpy(), windows)
    rates = mean_times(months, repairs, service.scope.confidence)
    return [
        RollingPoint(window, rate)
        for window, rate in zip(windows, rates, strict=True)
        if rate.exposure > 0
    ]


def _position_groups(
    spans: pd.DataFrame, grouping: Grouping
) -> tuple[list[str], list[int], Ints]:
    """Label and key of each group, and the group of each position."""
    if grouping is Grouping.FLEET or not len(spans):
        return ["All"], [0], np.zeros(len(spans), dtype=np.int64)
    columns = {
        Grouping.SITE: ("site_name", "site"),
        Grouping.AREA: ("area_name", "area"),
        Grouping.POSITION: ("tag", "position"),
    }
    label, key = columns[grouping]
    names = spans[label].astype(str)
    if grouping is not Grouping.SITE and spans["site"].nunique() > 1:
        names = names + ", " + spans["site_name"]
    groups, keys = pd.factorize(spans[key])
    first = pd.Series(groups).drop_duplicates().index
    return (
        names.iloc[first].tolist(),
        [int(key) for key in keys],
        np.asarray(groups, dtype=np.int64),
    )


def _position_tally(service: Service, groups: Ints, hours: RunningHours) -> _Tally:
    window = service.scope.window
    events = service.events_of(window)
    of_event = groups[events["row"].to_numpy(dtype=np.int64)]
    return _Tally(
        groups=groups,
        days=exposure_days(service.spans, window),
        hours=hours,
        repairs=of_event,
        failures=of_event[events["is_failure"].to_numpy(dtype=bool)],
        still_open=of_event[events["is_open"].to_numpy(dtype=bool)],
    )


def _lines(
    scope: Scope, tally: _Tally, labels: list[str], keys: list[int]
) -> list[RateLine]:
    size = len(labels)

    def summed(amounts: Floats) -> Floats:
        return np.bincount(tally.groups, weights=amounts, minlength=size).astype(float)

    def counted(groups: Ints) -> Ints:
        return np.bincount(groups, minlength=size).astype(np.int64)

    calendar = mean_times(
        summed(tally.days) / MONTH_DAYS, counted(tally.repairs), scope.confidence
    )
    running = mean_times(
        summed(tally.hours.hours), counted(tally.failures), scope.confidence
    )
    units = counted(tally.groups[tally.days > 0]).tolist()
    still_open = counted(tally.still_open).tolist()
    estimated = summed(tally.hours.estimated).tolist()
    return [
        RateLine(*parts)
        for parts in zip(
            labels, keys, units, calendar, still_open, running, estimated, strict=True
        )
    ]


def _in_service(lines: list[RateLine]) -> list[RateLine]:
    return [line for line in lines if line.calendar.exposure > 0]


def _position_notes(service: Service, hours: RunningHours) -> list[str]:
    window = service.scope.window
    notes = []
    left_out = service.left_out_of(window)
    if left_out:
        notes.append(
            f"{count(left_out, 'counted repair')} left out: reported on a day when the "
            "position was not in service or its records had not begun."
        )
    unknown = service.unknown_starts(window)
    if unknown:
        notes.append(
            f"{count(unknown, 'position')} without a day in service and without a "
            "start of records: taken as in service since the first day of the window."
        )
    if hours.assumed_full:
        notes.append(
            f"{count(hours.assumed_full, 'position')} without a running share: taken "
            "as running all the time wherever no meter was read."
        )
    return notes


def _component_report(scope: Scope, grouping: Grouping) -> MtbrReport:
    time = component_time(scope, seals=grouping is Grouping.PLAN)
    groups, labels = pd.factorize(time.spans["label"], sort=True)
    tally = _component_tally(time, np.asarray(groups, dtype=np.int64))
    total = _component_tally(time, np.zeros(len(time.spans), dtype=np.int64))
    names = [str(label) for label in labels]
    return MtbrReport(
        scope=scope,
        grouping=grouping,
        total=_lines(scope, total, ["All"], [0])[0],
        lines=_in_service(_lines(scope, tally, names, [0] * len(names))),
        notes=time.notes,
    )


def _component_tally(time: ComponentTime, groups: Ints) -> _Tally:
    of_failure = groups[time.failures]
    return _Tally(
        groups=groups,
        days=time.days,
        hours=time.hours,
        repairs=of_failure,
        failures=of_failure,
        still_open=np.array([], dtype=np.int64),
    )


def position_report(scope: Scope, position: Position) -> MtbrReport:
    """The figures of one position alone."""
    return mtbr_report(replace(scope, position=position), Grouping.FLEET)
