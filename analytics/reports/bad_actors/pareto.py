"""Which units cost most, and how much of all cost they make together."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from analytics.reports.bad_actors.costs import UnitCost

# Of a share, when it is shown as a percentage with one decimal.
SHOWN_PLACES = 3


@dataclass(frozen=True, slots=True)
class CostRank:
    """A unit's repair cost in one currency, costliest first.

    `share` is its part of all repair cost, `so_far` that of it and all before it.
    """

    key: int
    rank: int
    repair_cost: Decimal
    share: float
    so_far: float


def cost_ranks(
    costs: Mapping[int, Sequence[UnitCost]], currency: str
) -> tuple[CostRank, ...]:
    """Units with any repair cost in a currency, in the order of a Pareto chart."""
    own = [
        (key, cost)
        for key in sorted(costs)
        for cost in costs[key]
        if cost.currency == currency and cost.repair_cost > 0
    ]
    own.sort(key=lambda pair: pair[1].repair_cost, reverse=True)
    ranks, so_far = [], 0.0
    for rank, (key, cost) in enumerate(own, start=1):
        so_far += cost.share
        ranks.append(CostRank(key, rank, cost.repair_cost, cost.share, so_far))
    return tuple(ranks)


def fewest_for(ranks: Sequence[CostRank], share: float) -> int:
    """How many units, the costliest first, make at least a share of all cost."""
    # As the page writes a share: a row that shows 80.0 % has reached 80 %.
    return next(
        (rank.rank for rank in ranks if round(rank.so_far, SHOWN_PLACES) >= share),
        len(ranks),
    )
