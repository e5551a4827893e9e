"""Machines whose failures follow them from tag to tag."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from analytics.reports.bad_actors.facts import RepairFacts

LEAST_TAGS = 2


@dataclass(frozen=True, slots=True)
class Traveller:
    """A machine with separate events at several positions, most events first."""

    key: int
    events: int
    by_position: tuple[tuple[int, int], ...]

    @property
    def tags(self) -> int:
        return len(self.by_position)


def travellers(machines: Mapping[int, Sequence[RepairFacts]]) -> tuple[Traveller, ...]:
    """Of the machines given, those that failed on several tags.

    Give those that the rule flags: any machine that moves has events at more than one
    tag, and only too many of them say that the machine carries its trouble along.
    """
    found = []
    for key, facts in machines.items():
        positions = Counter(fact.position for fact in facts if fact.is_separate)
        if len(positions) >= LEAST_TAGS:
            ordered = sorted(positions.items(), key=lambda pair: (-pair[1], pair[0]))
            found.append(Traveller(key, sum(positions.values()), tuple(ordered)))
    return tuple(sorted(found, key=lambda own: (-own.events, own.key)))
