"""Positions in service with the counted repairs that happened while they were."""

from dataclasses import dataclass
from datetime import date

import numpy as np
import pandas as pd

from analytics.exposure import (
    Window,
    events_in_service,
    exposure_days,
    rows_of,
)
from analytics.scope import Scope
from records.selectors.events import counted_events
from records.selectors.exposure import day_starts, service_spans
from records.selectors.hours import RunningHours, running_hours


@dataclass(frozen=True)
class Service:
    """Spans of positions, and the events inside them with their row in `spans`."""

    scope: Scope
    spans: pd.DataFrame
    events: pd.DataFrame
    left_out: pd.DataFrame
    """Counted repairs of days on which their position was not in service."""

    def events_of(self, window: Window) -> pd.DataFrame:
        day = self.events["day"]
        return self.events[(day >= window.first_day) & (day < window.day_after)]

    def left_out_of(self, window: Window) -> int:
        day = self.left_out["day"]
        return int(((day >= window.first_day) & (day < window.day_after)).sum())

    def unknown_starts(self, window: Window) -> int:
        """Positions in service of which nobody wrote down since when."""
        served = exposure_days(self.spans, window) > 0
        return int((served & ~self.spans["known_start"].to_numpy(dtype=bool)).sum())

    def hours_in(self, window: Window) -> RunningHours:
        """Running hours of each position inside the window."""
        zones = self.spans["zone"].to_numpy()
        first = np.clip(
            self.spans["start_day"].to_numpy(), window.first_day, window.day_after
        )
        after = np.clip(
            self.spans["end_day"].to_numpy(), window.first_day, window.day_after
        )
        return running_hours(
            self.scope.positions(),
            self.spans,
            day_starts(first, zones),
            day_starts(after, zones),
        )


def service_load(scope: Scope, *, since: date) -> Service:
    """Read positions and events from `since` to the end of the scope's window."""
    positions = scope.positions()
    spans = service_spans(positions)
    events = counted_events(positions, scope.rules, since=since, until=scope.window.end)
    events = events.assign(row=rows_of(events["position"], spans["position"]))
    inside = events_in_service(events, spans)
    return Service(scope, spans, events[inside], events[~inside])
