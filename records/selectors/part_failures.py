"""Failures of seals and bearings, and whether a repair took such a part out."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Case, Value, When

from records.choices import ChangeKind
from records.models import ComponentChange
from records.models.repair import RepairQuerySet
from records.selectors.events import IS_OPEN


@dataclass(frozen=True, slots=True)
class PartFailure:
    """One failure of a component at a position.

    `takes_part` tells whether its repair, or the shop work of it, took a part of
    that component out; `is_open` whether it may still do so.
    """

    component: str
    position: int
    area: int
    reported_at: datetime
    takes_part: bool
    is_open: bool


def part_failures(
    failures: RepairQuerySet, component_of: Mapping[str, str]
) -> list[PartFailure]:
    """Those of the failures that name a component's item, in three queries."""
    rows = failures.filter(item__in=component_of).order_by()
    taken = _taken(rows)
    flag = Case(When(IS_OPEN, then=Value(True)), default=Value(False))
    facts = rows.annotate(is_open_now=flag).values_list(
        "pk", "item", "position", "position__area", "reported_at", "is_open_now"
    )
    return [
        PartFailure(
            component=component_of[item],
            position=position,
            area=area,
            reported_at=reported_at,
            takes_part=(pk, component_of[item]) in taken,
            is_open=is_open,
        )
        for pk, item, position, area, reported_at, is_open in facts
    ]


def _taken(failures: RepairQuerySet) -> set[tuple[int, str]]:
    """Failures with the components that they or their shop work took out."""
    outs = ComponentChange.objects.filter(change=ChangeKind.OUT).order_by()
    own = failures.values("pk")
    found: set[tuple[int, str]] = set()
    for of_failure in ("repair", "repair__shop_work_of"):
        rows = outs.filter(**{f"{of_failure}__in": own}).values_list(
            of_failure, "life__component"
        )
        found.update((int(pk), component) for pk, component in rows)
    return found
