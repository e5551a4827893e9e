"""Which pumps are like which: peer groups by a fixed rule that pages show.

Peers stand at the same site, pump the same broad class of liquid and do the same
duty (running or mostly standing by). Criticality plays no part: it says what a
stop costs and not how hard the duty is. Where that leaves fewer than
`FEWEST_PEERS` others, the class is dropped, then the duty, then the site.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from analytics.exposure import Flags
from plant.choices import Hazard

FEWEST_PEERS = 8
STANDBY_SHARE = 0.25

# The first class that a position has a hazard of; what wears pumps most comes first.
CLASSES: tuple[tuple[str, frozenset[str]], ...] = (
    (
        "fouling or abrasive",
        frozenset({Hazard.ABRASIVE, Hazard.CRYSTALLISING, Hazard.POLYMERISING}),
    ),
    ("corrosive", frozenset({Hazard.CORROSIVE})),
    ("hot", frozenset({Hazard.HOT})),
    (
        "toxic or flammable",
        frozenset({Hazard.TOXIC, Hazard.FLAMMABLE, Hazard.PYROPHORIC}),
    ),
)
OTHER_CLASS = "other"

RULE_IN_WORDS = (
    "Peers: same site, same broad class of liquid (by the hazards of the position: "
    f"{', '.join(name for name, _ in CLASSES)}, {OTHER_CLASS}), duty and standby "
    f"(running less than {STANDBY_SHARE:.0%} of the time) apart. With fewer than "
    f"{FEWEST_PEERS} others the class is dropped, then the duty, then the site."
).replace("%", "\u00a0%")


@dataclass(frozen=True, slots=True, eq=False)
class PeerGroup:
    """Units compared with each other, and for which of them the result holds."""

    name: str
    members: Flags
    answers: Flags


def liquid_class(hazards: Sequence[str]) -> str:
    """The broad class of what a position pumps."""
    found = (name for name, those in CLASSES if not those.isdisjoint(hazards))
    return next(found, OTHER_CLASS)


def liquid_classes(hazards: Iterable[Sequence[str]]) -> list[str]:
    """The same of many positions, of which few differ."""
    kinds = [tuple(names) for names in hazards]
    classes = {names: liquid_class(names) for names in set(kinds)}
    return [classes[names] for names in kinds]


def duty(running_share: float) -> str:
    return "standby" if running_share < STANDBY_SHARE else "duty"


def peer_groups(units: pd.DataFrame) -> Iterator[PeerGroup]:
    """Every unit is answered by the closest group that is large enough.

    `units` has the columns site_name, liquid_class and duty.
    """
    waiting = np.ones(len(units), dtype=bool)
    steps: tuple[list[str], ...] = (
        ["site_name", "liquid_class", "duty"],
        ["site_name", "duty"],
        ["site_name"],
        [],
    )
    for step in steps:
        groups, keys = pd.factorize(_joined(units, step))
        sizes = np.bincount(groups, minlength=len(keys))
        for group, name in enumerate(keys):
            members = np.asarray(groups == group)
            answers = members & waiting
            if answers.any() and (not step or sizes[group] > FEWEST_PEERS):
                waiting &= ~members
                yield PeerGroup(str(name), members, answers)


def _joined(units: pd.DataFrame, parts: list[str]) -> "pd.Series[str]":
    if not parts:
        return pd.Series("all sites", index=units.index)
    names = units[parts[0]].astype(str)
    for part in parts[1:]:
        names = names + ", " + units[part]
    return names
