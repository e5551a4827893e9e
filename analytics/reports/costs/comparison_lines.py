"""The lines of the comparison: which sums of cost lines each of them adds up."""

from collections.abc import Callable
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from analytics.reports.costs.facts import Fact
from records.choices import REPAIR_COST_KINDS, Category, CostKind, CostStatus
from records.selectors.repair_filter import REPAIR_COST

Value = Decimal | int | float | None
LAST = 3


@dataclass(frozen=True, slots=True)
class ComparisonLine:
    """One figure in three periods.

    `kind` is "money", "count", "years" or "share"; `level` 1 is part of the line of
    level 0 above it; `unit` is that of money, else blank. `urls` open what stands
    behind each figure, blank where no list can.
    """

    key: str
    label: str
    unit: str
    kind: str
    level: int
    values: tuple[Value, ...]
    urls: tuple[str, ...] = ("",) * LAST

    def change(self, place: int) -> Value:
        """This period minus the period at `place`; None where one is not known."""
        this, earlier = self.values[0], self.values[place]
        if this is None or earlier is None:
            return None
        return this - earlier  # type: ignore[operator]

    def change_share(self, place: int) -> float | None:
        """The change as a share of the earlier figure, where that is above zero."""
        change, earlier = self.change(place), self.values[place]
        if change is None or not earlier or earlier < 0 or self.kind == "share":
            return None
        return float(change / earlier)  # type: ignore[operator]


@dataclass(frozen=True, slots=True)
class Sum:
    """Which facts a line adds up, and how the repairs page is asked for them."""

    key: str
    label: str
    level: int
    takes: Callable[[Fact], bool]
    asked: dict[str, Any] = field(default_factory=dict)


def _of_kinds(*kinds: str) -> Callable[[Fact], bool]:
    return lambda fact: fact.kind in kinds


def _with_parts(
    key: str, label: str, asked: dict[str, Any], *kinds: CostKind
) -> list[Sum]:
    """A kind of cost, and the estimated and booked part of it."""
    of_kind = _of_kinds(*kinds)

    def of_status(status: CostStatus) -> Callable[[Fact], bool]:
        return lambda fact: of_kind(fact) and fact.status == status

    return [
        Sum(key, label, 0, of_kind, asked),
        *(
            Sum(
                f"{key}_{status.value}",
                f"of it {words}",
                1,
                of_status(status),
                asked | {"cost_status": status.value},
            )
            for status, words in (
                (CostStatus.ESTIMATE, "estimated"),
                (CostStatus.BOOKED, "booked"),
            )
        ),
    ]


def _of_category(category: Category) -> Sum:
    def takes(fact: Fact) -> bool:
        return fact.kind in REPAIR_COST_KINDS and fact.category == category

    return Sum(
        category.value,
        f"of it {category.label.lower()}",
        1,
        takes,
        {"category": category.value, "cost_kind": REPAIR_COST},
    )


ALL_REPAIR_COST = {"cost_kind": REPAIR_COST}
LOST = {"cost_kind": CostKind.LOST_PRODUCTION.value}
KINDS = [
    Sum(
        kind.value,
        f"of it {kind.label.lower()}",
        1,
        _of_kinds(kind),
        {"cost_kind": kind.value},
    )
    for kind in REPAIR_COST_KINDS
]
CATEGORIES = [_of_category(category) for category in Category]
_REPAIR = _with_parts("repair", "Repair cost", ALL_REPAIR_COST, *REPAIR_COST_KINDS)
MAIN = [
    _REPAIR[0],
    *KINDS,
    *_REPAIR[1:],
    *CATEGORIES,
    *_with_parts("production", "Lost production", LOST, CostKind.LOST_PRODUCTION),
    *_with_parts(
        "environment",
        "Environment and safety",
        {"cost_kind": CostKind.ENVIRONMENT_SAFETY.value},
        CostKind.ENVIRONMENT_SAFETY,
    ),
]
REWORK = [
    Sum("rework", "Repair cost of rework", 0, _REPAIR[0].takes, ALL_REPAIR_COST),
    Sum(
        "rework_production",
        "Lost production of rework",
        0,
        _of_kinds(CostKind.LOST_PRODUCTION),
        LOST,
    ),
]
LATE = [
    Sum("late", "Repair cost booked late", 0, _REPAIR[0].takes, ALL_REPAIR_COST),
    Sum(
        "late_production",
        "Lost production booked late",
        0,
        _of_kinds(CostKind.LOST_PRODUCTION),
        LOST,
    ),
]
