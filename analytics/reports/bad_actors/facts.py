"""What was found at the counted repairs of some units, one row a repair."""

from collections.abc import Collection
from dataclasses import dataclass

import numpy as np
import pandas as pd
from django.db.models import QuerySet

from analytics.in_service import Service
from analytics.rework import first_of_event
from records.choices import Item, Mechanism, OperatingState
from records.models import Repair
from records.models.teardown import TeardownFinding
from records.teardown_patterns import PATTERNS

# Words that say that nothing is known, so that twice of them is no repeat.
SAYS_NOTHING = {
    "",
    Item.UNKNOWN,
    Item.PUMP_UNIT,
    *(mechanism for mechanism in Mechanism if mechanism.endswith(".0")),
    Mechanism.M6_1,
    Mechanism.M6_3,
    Mechanism.M6_4,
}

PATTERN_TITLES = {pattern.code: pattern.title for pattern in PATTERNS}


@dataclass(frozen=True, slots=True)
class RepairFacts:
    """One counted repair; `is_separate` is False for rework of an event before it.

    `item`, `mechanism` and `patterns` are the words that a reader knows; empty where
    nothing is known.
    """

    day: int
    is_failure: bool
    is_separate: bool
    item: str
    mechanism: str
    patterns: tuple[str, ...]
    on_starting: bool
    position: int


def repair_facts(
    service: Service, unit_field: str, keys: Collection[int]
) -> dict[int, list[RepairFacts]]:
    """Facts of each unit's repairs in the window, in order of time; two queries.

    `unit_field` is "position" or "pump".
    """
    events = service.events
    events = events[events[unit_field].isin(list(keys))].reset_index(drop=True)
    windows = {site.pk: site.rework_window_days for site in service.scope.sites}
    site = service.spans["site"].to_numpy()[events["row"].to_numpy(np.int64)]
    events["is_separate"] = first_of_event(
        events[unit_field].to_numpy(np.int64),
        events["day"].to_numpy(),
        events["back_day"].to_numpy(),
        np.array([windows[pk] for pk in site], dtype=np.int64),
    )
    window = service.scope.window
    inside = (events["day"] >= window.first_day) & (events["day"] < window.day_after)
    return _with_words(events[inside], unit_field, keys)


def _with_words(
    events: pd.DataFrame, unit_field: str, keys: Collection[int]
) -> dict[int, list[RepairFacts]]:
    chosen = Repair.objects.filter(**{f"{unit_field}__in": keys}).order_by()
    words = {
        pk: (item, mechanism, state, position)
        for pk, item, mechanism, state, position in chosen.values_list(
            "pk", "item", "mechanism", "operating_state", "position"
        )
    }
    patterns = _patterns(chosen)
    found: dict[int, list[RepairFacts]] = {int(key): [] for key in keys}
    for event in events.to_dict("records"):
        item, mechanism, state, position = words[event["repair"]]
        found[int(event[unit_field])].append(
            RepairFacts(
                day=int(event["day"]),
                is_failure=bool(event["is_failure"]),
                is_separate=bool(event["is_separate"]),
                item="" if item in SAYS_NOTHING else Item(item).label,
                mechanism=_mechanism(mechanism),
                patterns=tuple(patterns.get(event["repair"], ())),
                on_starting=state == OperatingState.STARTING,
                position=position,
            )
        )
    return found


def _mechanism(code: str) -> str:
    return "" if code in SAYS_NOTHING else Mechanism(code).label


def _patterns(repairs: QuerySet[Repair]) -> dict[int, list[str]]:
    """Titles of what was seen at teardown, by repair."""
    found: dict[int, list[str]] = {}
    rows = TeardownFinding.objects.filter(repair__in=repairs.values("pk"))
    for repair, code in rows.order_by("pk").values_list("repair", "pattern"):
        found.setdefault(repair, []).append(PATTERN_TITLES.get(code, code))
    return found
