"""Families of like pumps that are worse than the rest of the fleet."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from analytics.exposure import Floats, Ints
from analytics.life.compare import benjamini_hochberg
from analytics.reports.bad_actors.rule import LEVEL

LEAST_RATIO = 1.5
# Fewer units are judged one by one.
LEAST_UNITS = 3
EXCHANGES = 1999
SEED = 20190731


@dataclass(frozen=True, slots=True)
class Family:
    """A group against all units outside it.

    `ratio` is its events per exposure over theirs, infinite if they had none.
    """

    name: str
    units: int
    events: int
    expected: float
    ratio: float
    p_value: float
    adjusted: float
    is_worse: bool


def families(
    names: Sequence[str], events: Ints, exposures: Floats, *, seed: int = SEED
) -> tuple[Family, ...]:
    """Judge each family of `names`, one name a unit; the clearest first.

    The chance is that of so much excess if the units had been dealt out to the families
    at random, whatever the spread between units; adjusted for the number of families
    by the procedure of Benjamini and Hochberg.
    """
    labels, family = np.unique(np.asarray(names, dtype=object), return_inverse=True)
    sizes = np.bincount(family)
    judged = np.flatnonzero((sizes >= LEAST_UNITS) & (sizes < events.size))
    if not judged.size or not events.sum():
        return ()
    excess = _excess(events, exposures)
    seen = np.bincount(family, excess)
    as_large = np.ones(labels.size)
    generator = np.random.default_rng(seed)
    for _ in range(EXCHANGES):
        drawn = np.bincount(family, generator.permutation(excess))
        as_large += drawn >= seen - 1e-9
    p_value = as_large / (EXCHANGES + 1)
    chances = benjamini_hochberg(p_value[judged], LEVEL)
    own_events, own_time = np.bincount(family, events), np.bincount(family, exposures)
    rate = (events.sum() - own_events) / np.maximum(
        exposures.sum() - own_time, np.finfo(float).tiny
    )
    expected = rate * own_time
    found = []
    for place, number in enumerate(judged):
        ratio = own_events[number] / expected[number] if expected[number] else np.inf
        found.append(
            Family(
                name=str(labels[number]),
                units=int(sizes[number]),
                events=int(own_events[number]),
                expected=float(expected[number]),
                ratio=float(ratio),
                p_value=float(p_value[number]),
                adjusted=float(chances.adjusted[place]),
                is_worse=bool(chances.rejected[place] and ratio >= LEAST_RATIO),
            )
        )
    return tuple(sorted(found, key=lambda own: (own.p_value, -own.ratio, own.name)))


def _excess(events: Ints, exposures: Floats) -> Floats:
    """How far each count lies above what the rate of all would give.

    On the scale of square roots, where counts vary alike whatever their size and one
    very bad unit does not make a bad family.
    """
    expected = exposures * (events.sum() / exposures.sum())
    return np.asarray(np.sqrt(events + 0.375) - np.sqrt(expected + 0.375))
