"""What the units of an action would do without it, frozen on the decision's day."""

from dataclasses import dataclass
from datetime import date
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
import pandas as pd
from django.utils import timezone

from analytics import peers
from analytics.exposure import Flags, Window, window_of_months
from analytics.judging.expectation import DRAWN_IN_WORDS, freeze
from analytics.judging.expectation import FrozenExpectation as Expected
from analytics.models import FrozenExpectation
from analytics.reports.actions.units import (
    WHOLE_SITE,
    equals_of,
    kind_of,
    site_service,
    treated_keys,
    units_in,
)
from analytics.reports.bad_actors.report import YEAR_DAYS
from analytics.scope import Scope
from plant.access import require
from plant.models import User
from plant.version import VERSION
from records.models import Action
from records.services.actions import DECIDE

WINDOW_MONTHS = 36
METHOD = (
    f"Expected without the action: {DRAWN_IN_WORDS} Rework is merged into its event."
)


@dataclass(frozen=True, slots=True)
class FrozenUnit:
    """One unit on the day of the decision; rates are events a year."""

    key: int
    label: str
    events: int
    years: float
    rate: float

    @property
    def raw_rate(self) -> float:
        return self.events / self.years


@dataclass(frozen=True, slots=True)
class Frozen:
    """The stored figures taken back: who was treated, beside whom, what to expect."""

    kind: str
    group: str
    treated: tuple[FrozenUnit, ...]
    equals: tuple[FrozenUnit, ...]
    expected: Expected | None

    @classmethod
    def from_figures(cls, figures: dict[str, Any]) -> "Frozen":
        stored = figures["expected"]
        return cls(
            kind=figures["kind"],
            group=figures["group"],
            treated=tuple(FrozenUnit(**unit) for unit in figures["treated"]),
            equals=tuple(FrozenUnit(**unit) for unit in figures["equals"]),
            expected=None if stored is None else Expected.from_record(stored),
        )


def expectation_freeze(
    *,
    by: User,
    action: Action,
    as_of: date | None = None,
    permission: str = DECIDE,
) -> FrozenExpectation:
    """Store what to expect of the action's units if nothing is done.

    Only what happened up to `as_of`, else the day of the decision, is used.
    """
    require(by, permission, site=action.site)
    zone = ZoneInfo(action.site.time_zone)
    day = as_of or timezone.localdate(action.decided_at, zone)
    return FrozenExpectation.objects.create(
        action=action,
        as_of=day,
        window_months=WINDOW_MONTHS,
        figures=figures_on(action, day),
        rule=_rule(action, window_of_months(day, WINDOW_MONTHS)),
        software_version=VERSION,
    )


def figures_on(action: Action, day: date) -> dict[str, Any]:
    """The figures as plain data, from the months that end with `day`."""
    kind = kind_of(action)
    window = window_of_months(day, WINDOW_MONTHS)
    units = units_in(site_service(action.site, window), kind, window)
    treated = units["key"].isin(treated_keys(action, day)).to_numpy()
    if not treated.any():
        nothing: dict[str, Any] = {"group": "", "treated": [], "equals": []}
        return {"kind": str(kind), "expected": None, **nothing}
    members, group = equals_of(units, treated)
    figures = _frozen(units[members], treated[members])
    return {"kind": str(kind), "group": group, **figures}


def _frozen(group: pd.DataFrame, treated: Flags) -> dict[str, Any]:
    events = group["events"].to_numpy(dtype=np.int64)
    years = group["days"].to_numpy(dtype=float) / YEAR_DAYS
    expected = freeze(events.tolist(), years.tolist(), treated.tolist())
    everyone = freeze(events.tolist(), years.tolist(), [True] * len(group))
    units = [
        {
            "key": int(key),
            "label": str(label),
            "events": int(count),
            "years": float(time),
            "rate": float(rate),
        }
        for key, label, count, time, rate in zip(
            group["key"], group["label"], events, years, everyone.rates(), strict=True
        )
    ]
    return {
        "expected": expected.as_record(),
        "treated": [unit for unit, is_in in zip(units, treated, strict=True) if is_in],
        "equals": [u for u, is_in in zip(units, treated, strict=True) if not is_in],
    }


def _rule(action: Action, window: Window) -> str:
    counting = Scope(WHOLE_SITE, window, site=action.site).rule_in_words()
    return " ".join([METHOD, peers.RULE_IN_WORDS, *counting])
