"""Failures of seals and bearings that no life on record tells: counted, not aged."""

from collections.abc import Collection, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from analytics.money.budget import PRIOR_EVENTS, Demand, events_at_a_rate
from analytics.reports.budget.parts import (
    AHEAD_YEARS,
    PartDemand,
    PartsAhead,
    kind_seed,
)
from plant.choices import Component
from records.choices import Item
from records.selectors.part_failures import PartFailure

ITEM_OF: dict[str, Item] = {
    Component.SEAL: Item.SEAL,
    Component.RADIAL: Item.RADIAL_BEARING,
    Component.THRUST: Item.THRUST_BEARING,
}
COMPONENT_OF = {str(item): component for component, item in ITEM_OF.items()}


def parts_counted(
    failures: Sequence[PartFailure],
    found: PartsAhead,
    standing: Mapping[int, int],
    areas: Mapping[int, int],
    years: float,
) -> tuple[PartDemand, ...]:
    """One demand a component whose failures are not all in the forecast.

    `standing` gives the area of each position in service, `areas` the place of each
    area, `years` how far back the failures were counted.
    """
    positions = np.bincount(
        [areas[area] for area in standing.values()], minlength=len(areas)
    )
    chosen = [one for one in failures if _is_counted(one, found, standing)]
    demands = []
    for component in ITEM_OF:
        places = [areas[one.area] for one in chosen if one.component == component]
        if places:
            counts = np.bincount(places, minlength=len(areas))
            demands.append(_demand(component, counts, positions, years, found.runs))
    return tuple(demands)


def _is_counted(
    failure: PartFailure, found: PartsAhead, standing: Collection[int]
) -> bool:
    """Whether the ages in service do not tell of it already.

    Where a part is forecast, they tell of a failure that took a part out, of one from
    before the first life on record, and of one whose part may still be taken out.
    """
    if failure.position not in standing:
        return False
    place = (failure.component, failure.position)
    if place not in found.forecast:
        return True
    told = failure.takes_part or failure.is_open
    return not told and failure.reported_at >= found.begun[place]


def _demand(
    component: str,
    counts: NDArray[np.int64],
    positions: NDArray[np.int64],
    years: float,
    runs: int,
) -> PartDemand:
    """Each failure is taken to need one part."""
    label = f"{Component(component).label}, life not on record"
    each = (int(counts.sum()) + PRIOR_EVENTS) / max(int(positions.sum()), 1)
    expected, drawn = events_at_a_rate(
        counts.tolist(),
        years,
        AHEAD_YEARS,
        runs,
        usual=(positions * each).tolist(),
        seed=kind_seed("counted", component),
    )
    nothing = np.zeros_like(counts)
    return PartDemand(
        component=component,
        part=label,
        standing=nothing,
        failed=int(counts.sum()),
        lives=0,
        is_pooled=False,
        failing=Demand(label, expected, drawn),
        renewed=Demand(label, np.zeros(counts.size), np.zeros_like(drawn), fails=False),
        renewed_seen=nothing,
        warnings=(),
        counted=counts,
    )
