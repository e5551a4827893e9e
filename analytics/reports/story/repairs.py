"""The repairs of a story as plain rows, with what the counting rule makes of them."""

from collections import Counter
from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace
from datetime import datetime

from django.db.models import BooleanField, Case, Count, Q, Value, When

from analytics.reports.story.subject import Subject
from records.choices import Item, Mechanism, OperatingState, RepairState
from records.counting import Rule, counted_failures, counted_repairs
from records.models import Repair, TeardownFinding
from records.teardown_patterns import PATTERN_BY_CODE

NOT_TELLING = frozenset(
    {
        "",
        *(mechanism for mechanism in Mechanism if mechanism.endswith(".0")),
        *(Mechanism.M6_1, Mechanism.M6_2, Mechanism.M6_3, Mechanism.M6_4),
    }
)
COMPONENT_ITEMS = frozenset({Item.SEAL, Item.RADIAL_BEARING, Item.THRUST_BEARING})


@dataclass(frozen=True, slots=True)
class RepairRow:
    """One repair that is not void; words are codes, `patterns` titles."""

    pk: int
    number: str
    reported_at: datetime
    category: str
    item: str
    mechanism: str
    operating_state: str
    position: int
    tag: str
    pump: int | None
    is_counted: bool
    is_failure: bool
    patterns: tuple[str, ...] = ()

    @property
    def item_in_words(self) -> str:
        return Item(self.item).label if self.item else "item not known"

    @property
    def mechanism_in_words(self) -> str:
        """Empty where the mechanism says nothing."""
        return mechanism_in_words(self.mechanism)

    @property
    def on_starting(self) -> bool:
        return self.operating_state == OperatingState.STARTING


def mechanism_in_words(code: str) -> str:
    return "" if code in NOT_TELLING else str(Mechanism(code).label)


def repairs_of(subject: Subject, rules: dict[int, Rule]) -> tuple[RepairRow, ...]:
    """Its repairs and what was seen at them, oldest first; two queries."""
    return _repairs(subject.of_rows(), subject, rules)


def repairs_where_it_stood(
    subject: Subject, rules: dict[int, Rule]
) -> tuple[RepairRow, ...]:
    """Repairs of all tags that the subject's stays name, whichever pump it was."""
    tags = {stay.position for stay in subject.stays}
    return _repairs(Q(position__in=tags), subject, rules)


def _repairs(
    condition: Q, subject: Subject, rules: dict[int, Rule]
) -> tuple[RepairRow, ...]:
    chosen = (
        Repair.objects.visible_to(subject.user)
        .exclude(state=RepairState.VOID)
        .filter(condition, reported_at__lte=subject.as_of)
        .order_by("reported_at", "pk")
    )
    patterns: dict[int, list[str]] = {}
    seen = TeardownFinding.objects.filter(repair__in=chosen.order_by().values("pk"))
    for repair, code in seen.order_by("pk").values_list("repair", "pattern"):
        known = PATTERN_BY_CODE.get(code)
        patterns.setdefault(repair, []).append(known.title if known else code)
    rows = chosen.annotate(
        is_counted=_flag(counted_repairs(rules)),
        is_failure=_flag(counted_failures(rules)),
    ).values_list(
        *("pk", "number", "reported_at", "category", "item", "mechanism"),
        *("operating_state", "position", "position__tag", "pump"),
        *("is_counted", "is_failure"),
    )
    return tuple(
        replace(RepairRow(*row), patterns=tuple(patterns.get(row[0], ())))
        for row in rows
    )


def _flag(condition: Q) -> Case:
    return Case(
        When(condition, then=Value(True)),
        default=Value(False),
        output_field=BooleanField(),
    )


@dataclass(frozen=True, slots=True)
class Shares:
    """Failures of the neighbours, the subject's own left out: what they died of."""

    by_mechanism: dict[str, int]
    by_state: dict[str, int]

    def of_mechanism(self, code: str) -> float:
        """Share of a mechanism among failures whose mechanism is known."""
        known = sum(
            n for each, n in self.by_mechanism.items() if each not in NOT_TELLING
        )
        return self.by_mechanism.get(code, 0) / known if known else 0.0

    @property
    def on_starting(self) -> float:
        known = sum(n for state, n in self.by_state.items() if state)
        return self.by_state.get(OperatingState.STARTING, 0) / known if known else 0.0


def neighbour_shares(
    subject: Subject, neighbours: Collection[int], rules: dict[int, Rule]
) -> Shares:
    """Counted in the database, one query."""
    rows = (
        Repair.objects.filter(counted_failures(rules), position__in=neighbours)
        .exclude(subject.of_rows())
        .filter(reported_at__lte=subject.as_of)
        .order_by()
        .values_list("mechanism", "operating_state")
        .annotate(failures=Count("pk"))
    )
    by_mechanism: Counter[str] = Counter()
    by_state: Counter[str] = Counter()
    for mechanism, state, failures in rows:
        by_mechanism[mechanism] += failures
        by_state[state] += failures
    return Shares(dict(by_mechanism), dict(by_state))


def failures_of(rows: Iterable[RepairRow]) -> list[RepairRow]:
    return [row for row in rows if row.is_failure]
