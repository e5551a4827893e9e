"""What the records of a window hold for the deeper evidence about its units."""

from collections import Counter
from collections.abc import Mapping, Sequence
from datetime import timedelta

import pandas as pd

from analytics.in_service import Service
from analytics.reports.bad_actors.ages import OwnEvents, own_events
from analytics.reports.bad_actors.facts import RepairFacts
from analytics.reports.bad_actors.starting import StartCounts
from analytics.reports.bad_actors.units import stays_in_service
from records.choices import OperatingState
from records.models import Repair

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
    """Failures in the window whose operating state is on record. One query.

    `units` are those of the page, one row each with key and duty.
    """
    window = service.scope.window
    events = service.events_of(window)
    events = events[events["is_failure"].astype(bool)]
    states = dict(
        Repair.objects.filter(
            position__in=service.scope.positions().order_by().values("pk"),
            reported_at__date__gte=window.start - timedelta(days=1),
        )
        .exclude(operating_state="")
        .order_by()
        .values_list("pk", "operating_state")
    )
    duty = dict(zip(units["key"], units["duty"], strict=True))
    failures: Counter[int] = Counter()
    starts: Counter[int] = Counter()
    for repair, unit in zip(events["repair"], events[unit_field], strict=True):
        if repair in states and unit in duty:
            failures[int(unit)] += 1
            starts[int(unit)] += states[repair] == OperatingState.STARTING
    standby = {
        int(key): (starts[key], failures[key])
        for key, name in duty.items()
        if name == STANDBY
    }
    rest = [key for key, name in duty.items() if name != STANDBY]
    return StartCounts(
        standby,
        (sum(starts[key] for key in rest), sum(failures[key] for key in rest)),
    )
