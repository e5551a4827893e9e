"""How many failures stay, measured where the fleet already has the change."""

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from analytics.exposure import Flags, Floats, Ints
from analytics.money.errors import TooLittleData
from analytics.money.failures_avoided.from_fleet import (
    FleetCounts,
    FleetRatio,
    ratio_from_fleet,
)
from analytics.reports.actions.units import equals_of
from analytics.reports.upgrades.changes import ChangeDays, all_changed
from analytics.reports.upgrades.history import FailureHistory

BEFORE_MONTHS = 60


@dataclass(frozen=True, slots=True)
class FleetEvidence:
    """The ratio with who was changed when, and beside whom."""

    measured: FleetRatio
    tags: tuple[str, ...]
    first_on: date
    last_on: date
    events_before: int
    years_before: float
    years_after: float
    untreated: int
    peers: str
    source: str

    @property
    def in_words(self) -> str:
        after = self.measured.events_after
        return (
            f"{len(self.tags)} positions changed ({', '.join(self.tags)}): "
            f"{self.events_before} failures in {self.years_before:.1f} years before, "
            f"{after} in {self.years_after:.1f} years after, beside "
            f"{self.untreated} unchanged like positions."
        )


def fleet_evidence(
    history: FailureHistory, changes: dict[int, ChangeDays], source: str
) -> FleetEvidence:
    """Measure the effect of a change at the positions that had it.

    `changes` gives, by position, the last day before and the first after.

    Raises
    ------
    TooLittleData
        If nobody in sight has the change, or as `ratio_from_fleet` refuses.
    """
    treated = _watched(history, changes)
    if not treated.any():
        raise TooLittleData(f"No position in sight has such a change: {source}.")
    first, until, since, after = _days(history, changes, treated)
    counts = _Counts(*history.counts(first, until), *history.counts(since, after))
    watched = (counts.years_before > 0) & (counts.years_after > 0)
    treated = treated & watched
    if not treated.any():
        raise TooLittleData("No changed position was in service before and after.")
    equal, peers = _equals(history, treated, watched)
    days = [changes[key].since for key in history.units.loc[treated, "key"]]
    return FleetEvidence(
        measured=ratio_from_fleet(counts.of(treated), counts.of(equal)),
        tags=tuple(sorted(history.units.loc[treated, "label"])),
        first_on=min(days),
        last_on=max(days),
        events_before=int(counts.before[treated].sum()),
        years_before=float(counts.years_before[treated].sum()),
        years_after=float(counts.years_after[treated].sum()),
        untreated=int(equal.sum()),
        peers=peers,
        source=source,
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Counts:
    """Events and years of each unit before and after."""

    before: Floats
    years_before: Floats
    after: Floats
    years_after: Floats

    def of(self, chosen: Flags) -> FleetCounts:
        return FleetCounts(
            self.before[chosen].astype(int),
            self.years_before[chosen],
            self.after[chosen].astype(int),
            self.years_after[chosen],
        )


def _equals(
    history: FailureHistory, treated: Flags, watched: Flags
) -> tuple[Flags, str]:
    """Units of the closest peer group that nothing was changed at, and its name."""
    units = history.units[watched].reset_index(drop=True)
    members, group = equals_of(units, treated[watched])
    equal = np.zeros(len(watched), dtype=bool)
    equal[np.flatnonzero(watched)[members]] = True
    equal &= ~treated & ~history.chosen(all_changed(history.scope))
    if not equal.any():
        raise TooLittleData("No unchanged like position stands beside the changed.")
    return equal, group


def _span(history: FailureHistory) -> tuple[date, date]:
    return history.scope.window.start, history.scope.window.end


def _watched(history: FailureHistory, changes: dict[int, ChangeDays]) -> Flags:
    start, end = _span(history)
    inside = {
        key
        for key, days in changes.items()
        if start < days.until and days.since <= end - timedelta(days=1)
    }
    return history.chosen(inside)


def _days(
    history: FailureHistory, changes: dict[int, ChangeDays], treated: Flags
) -> tuple[Ints, Ints, Ints, int]:
    """Bounds of each unit, as counts want them; the unchanged take the middle day."""
    keys = history.units["key"].tolist()
    own = [changes[key] for key, is_in in zip(keys, treated, strict=True) if is_in]
    until = np.full(
        len(keys), int(np.median([one.until.toordinal() for one in own])), np.int64
    )
    since = np.full(
        len(keys), int(np.median([one.since.toordinal() for one in own])), np.int64
    )
    until[treated] = [one.until.toordinal() for one in own]
    since[treated] = [one.since.toordinal() for one in own]
    first = np.maximum(
        until - round(BEFORE_MONTHS * 30.4375), history.scope.window.first_day
    )
    return first, until + 1, since, history.scope.window.day_after
