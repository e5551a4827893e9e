"""Whether a unit fails of the same thing again and again."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from analytics.reports.bad_actors.facts import RepairFacts

LEAST_TIMES = 2
ORDINALS = (
    *("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth"),
    *("ninth", "tenth"),
)


@dataclass(frozen=True, slots=True)
class Repeat:
    """The same finding, mechanism or item at several separate events."""

    what: str
    times: int
    events: int
    is_latest: bool

    @property
    def in_words(self) -> str:
        """The end of a reason: what comes back, of how many events."""
        what = self.what.lower()
        if self.is_latest:
            times = ordinal(self.times)
            return f"its latest event is the {times} of {self.events} with {what}"
        return f"{self.times} of its {self.events} events were with {what}"


def ordinal(place: int) -> str:
    """In words up to ten."""
    if place <= len(ORDINALS):
        return ORDINALS[place - 1]
    ending = {1: "st", 2: "nd", 3: "rd"}.get(place % 10, "th")
    return f"{place}{'th' if place % 100 in (11, 12, 13) else ending}"


def repeat_of(facts: Sequence[RepairFacts]) -> Repeat | None:
    """What comes back most.

    What was seen at teardown tells more than a mechanism, as long as it came back at
    least half as often; the item speaks only where neither comes back. Rework belongs
    to its event and does not count as coming back.
    """
    events = [fact for fact in facts if fact.is_separate]
    seen, mechanism, item = (
        _most([words(event) for event in events])
        for words in (_patterns, _mechanism, _item)
    )
    if seen and (mechanism is None or 2 * seen.times >= mechanism.times):
        return seen
    return mechanism or item


def _most(words: Sequence[tuple[str, ...]]) -> Repeat | None:
    """The word of most events, the latest one's first; None if none comes twice."""
    times = Counter(word for each in words for word in set(each))
    if not times:
        return None
    latest = set(words[-1])
    what = max(times, key=lambda word: (times[word], word in latest, word))
    if times[what] < LEAST_TIMES:
        return None
    return Repeat(what, times[what], len(words), what in latest)


def main_item(facts: Sequence[RepairFacts]) -> tuple[str, int] | None:
    """The item of most separate events, with their number; None if none is known."""
    items = Counter(fact.item for fact in facts if fact.is_separate and fact.item)
    if not items:
        return None
    return max(items.items(), key=lambda pair: (pair[1], pair[0]))


def _patterns(fact: RepairFacts) -> tuple[str, ...]:
    return fact.patterns


def _mechanism(fact: RepairFacts) -> tuple[str, ...]:
    return (fact.mechanism,) if fact.mechanism else ()


def _item(fact: RepairFacts) -> tuple[str, ...]:
    return (fact.item,) if fact.item else ()
