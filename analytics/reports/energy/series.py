"""Which rounds tell how a pump stands now: its own, since its wet end was opened."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from plant.display import date
from records.selectors.hydraulic_readings import (
    HydraulicRecord,
    HydraulicRound,
    Stay,
)
from records.selectors.moments import SECOND
from records.selectors.wet_end import Openings

DAY = 86_400 * SECOND
# A year and a month, so that three half-yearly rounds are of one time.
NOW_DAYS = 400
# A pump that nobody read for a year is not told about as it is now.
STALE_DAYS = 366
NO_PUMP = "No pump stands here now, so there is nothing to judge."


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A round that is not used, and why."""

    round: HydraulicRound
    reason: str


@dataclass(frozen=True, slots=True)
class PumpSeries:
    """Rounds of the pump that stands at a position now, oldest first.

    `candidates` may be used together; `since` is the moment from which rounds belong
    together, in microseconds, and `of_others` counts rounds of other pumps. `whole`,
    `left_out` and `of_others` are of the history: empty where it was not asked for.
    """

    pump: Stay | None
    since: int | None = None
    is_since_opening: bool = False
    whole: list[HydraulicRound] = field(default_factory=list)
    candidates: list[HydraulicRound] = field(default_factory=list)
    left_out: list[LeftOut] = field(default_factory=list)
    of_others: int = 0
    refusal: str = ""

    @property
    def since_words(self) -> str:
        if self.since is None:
            return ""
        why = (
            "its wet end was last opened"
            if self.is_since_opening
            else ("it was placed here")
        )
        return f"since {date(moment_of(self.since))}, when {why}"


def moment_of(microseconds: int) -> datetime:
    return datetime.fromisoformat("1970-01-01T00:00:00+00:00") + timedelta(
        microseconds=microseconds
    )


def pump_series(
    position: int,
    record: HydraulicRecord,
    opened: Openings,
    as_of: datetime,
    *,
    with_history: bool = True,
) -> PumpSeries:
    """Sort the rounds of a position into what belongs together and what does not.

    Without `with_history` rounds that belong to another time or pump are not looked
    at.
    """
    stay = record.standing(position)
    rounds = record.rounds.get(position, []) if with_history else []
    if stay is None:
        return PumpSeries(None, of_others=_whole(rounds), refusal=NO_PUMP)
    last = opened.last(stay.pump, position)
    is_opening = last is not None and last > stay.came
    since = last if last is not None and is_opening else stay.came
    own = [one for one in rounds if one.pump == stay.pump]
    valid = record.rounds.whole_of(position, pump=stay.pump, since=since)
    oldest = valid[-1].microseconds - NOW_DAYS * DAY if valid else 0
    return PumpSeries(
        pump=stay,
        since=since,
        is_since_opening=is_opening,
        whole=[one for one in own if one.is_whole],
        candidates=[one for one in valid if one.microseconds >= oldest],
        left_out=list(_left_out(own, since, oldest, is_opening=is_opening)),
        of_others=_whole(rounds) - _whole(own),
        refusal=_stale(valid, as_of),
    )


def _whole(rounds: list[HydraulicRound]) -> int:
    return sum(one.is_whole for one in rounds)


def _stale(valid: list[HydraulicRound], as_of: datetime) -> str:
    if not valid:
        return ""
    newest = valid[-1].read_at
    if as_of - newest <= timedelta(days=STALE_DAYS):
        return ""
    return (
        f"Flow, head and power were last read on {date(newest)}, more than a year ago, "
        "so nothing is said about now."
    )


def _left_out(
    own: list[HydraulicRound], since: int, oldest: int, *, is_opening: bool
) -> Iterator[LeftOut]:
    """Rounds of the pump that are no candidates, and why."""
    before = "the wet end was opened" if is_opening else "it came here"
    for one in own:
        if not one.is_whole:
            yield LeftOut(one, f"no {one.missing} read within the hour")
        elif one.microseconds < since:
            yield LeftOut(one, f"before {before}")
        elif one.microseconds < oldest:
            yield LeftOut(one, f"more than {NOW_DAYS} days before the newest")
