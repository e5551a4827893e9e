"""What the records of a window hold for the deeper evidence about its units."""

from collections.abc import Mapping, Sequence

import numpy as np
import pandas as pd

from analytics.exposure import rows_of
from analytics.in_service import Service
from analytics.reports.bad_actors.ages import OwnEvents, own_events
from analytics.reports.bad_actors.facts import RepairFacts
from analytics.reports.bad_actors.starting import StartCounts
from analytics.reports.bad_actors.units import stays_in_service
from records.choices import OperatingState

STANDBY = "standby"


def events_in_own_time(
    service: Service, unit_field: str, facts: Mapping[int, Sequence[RepairFacts]]
) -> dict[int, OwnEvents]:
    """Separate events of the units of `facts`, for their own trend."""
    days = {
        key: [fact.day for fact in own if fact.is_separate]
        for key, own in facts.items()
    }
    spans = service.spans if unit_field == "position" else stays_in_service(service)
    spans = spans.assign(key=spans[unit_field])
    return own_events(spans[spans["key"].isin(list(days))], days, service)


def failures_on_starting(
    service: Service, units: pd.DataFrame, unit_field: str
) -> StartCounts:
    """Failures in the window whose operating state is on record.

    `units` are those of the page, one row each with key and duty.
    """
    window = service.scope.window
    events = service.events_of(window)
    events = events[events["is_failure"] & (events["operating_state"] != "")]
    row = rows_of(events[unit_field], units["key"])
    on_starting = (events["operating_state"] == OperatingState.STARTING).to_numpy()
    failures, starts = (
        np.bincount(rows[rows >= 0], minlength=len(units))
        for rows in (row, row[on_starting])
    )
    spares = (units["duty"] == STANDBY).to_numpy()
    standby = zip(
        units.loc[spares, "key"].tolist(),
        zip(starts[spares].tolist(), failures[spares].tolist(), strict=True),
        strict=True,
    )
    rest = int(starts[~spares].sum()), int(failures[~spares].sum())
    return StartCounts(dict(standby), rest)
