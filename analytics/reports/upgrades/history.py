"""Failures of every position in sight, event by event, with the time watched."""

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
import pandas as pd

from analytics.exposure import Flags, Floats, Ints, Window, rows_of
from analytics.in_service import service_load
from analytics.reports.bad_actors.units import position_units
from analytics.reports.life.in_service import YEAR_DAYS
from analytics.reports.upgrades.typed import WhatFails
from analytics.rework import first_of_event
from analytics.scope import Scope
from plant.models import User
from records.models import Repair

CLASSES = ["key", "label", "site_name", "liquid_class", "duty"]


@dataclass(frozen=True, slots=True, eq=False)
class FailureHistory:
    """Counted failures up to a day; rework is merged into the event it reworks.

    Parameters
    ----------
    scope : Scope
        Whose eyes, and the window loaded.
    units : DataFrame
        One row a position: key, label, site_name, liquid_class, duty, and the days
        its service begins and ends (`start_day`, `end_day`, the end not included).
    failures : DataFrame
        One row a counted failure: unit (row of `units`), day, repair, item, opens
        (whether it opens an event) and event (the repair that opened it).
    """

    scope: Scope
    units: pd.DataFrame
    failures: pd.DataFrame

    @property
    def events(self) -> pd.DataFrame:
        return self.failures[self.failures["opens"]]

    def chosen(self, keys: set[int]) -> Flags:
        """Which units are these positions."""
        return self.units["key"].isin(keys).to_numpy(bool)

    def counts(self, start: Ints | int, after: Ints | int) -> tuple[Floats, Floats]:
        """Events and years in service of each unit from a day to before another."""
        size = len(self.units)
        first = np.maximum(self.units["start_day"].to_numpy(), start)
        last = np.minimum(self.units["end_day"].to_numpy(), after)
        years = np.maximum(last - first, 0) / YEAR_DAYS
        events = self.events
        unit, day = events["unit"].to_numpy(), events["day"].to_numpy()
        inside = (day >= first[unit]) & (day < last[unit])
        return np.bincount(unit[inside], minlength=size).astype(float), years

    def in_window(self, window: Window) -> tuple[Floats, Floats]:
        """The same for a window."""
        return self.counts(window.first_day, window.day_after)


def failure_history(
    user: User, as_of: date, since: date, what: WhatFails
) -> FailureHistory:
    """Load the failures of all sites that a person may see, in a few queries."""
    scope = Scope(user, Window(since, as_of))
    rework = {site.name: site.rework_window_days for site in scope.sites}
    longest = 2 * max(rework.values(), default=0)
    service = service_load(scope, since=since - timedelta(days=longest))
    spans = service.spans[["position", "start_day", "end_day"]]
    units = position_units(service)[CLASSES].merge(
        spans, left_on="key", right_on="position"
    )
    failures = service.events[service.events["is_failure"]]
    failures = failures.assign(
        unit=rows_of(failures["position"], units["key"]),
        item=failures["repair"].map(_items(scope, what)),
    )
    failures = failures[(failures["unit"] >= 0) & failures["item"].notna()]
    return FailureHistory(scope, units, _with_events(failures, units, rework))


def _items(scope: Scope, what: WhatFails) -> dict[int, str]:
    """Item of each repair that can count."""
    # A day more and the time of rework before: the events say which of them count.
    rows = Repair.objects.filter(
        position__in=scope.positions().order_by().values("pk")
    ).order_by()
    if what.items:
        rows = rows.filter(item__in=what.items)
    return dict(rows.values_list("pk", "item"))


def _with_events(
    failures: pd.DataFrame, units: pd.DataFrame, rework: dict[str, int]
) -> pd.DataFrame:
    """Which failures open an event, and to which one the others belong."""
    failures = failures.reset_index(drop=True)
    unit = failures["unit"].to_numpy(dtype=np.int64)
    days_of_site = units["site_name"].map(rework).to_numpy()
    opens = first_of_event(
        unit,
        failures["day"].to_numpy(),
        failures["back_day"].to_numpy(),
        days_of_site[unit].astype(np.int64) if len(units) else unit,
    )
    opener = failures["repair"].where(opens.astype(bool))
    event = opener.groupby(failures["unit"]).ffill()
    columns = failures[["unit", "day", "repair", "item"]]
    return columns.assign(opens=opens.astype(bool), event=event)
