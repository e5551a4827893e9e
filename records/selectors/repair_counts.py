"""How many repairs of a list count, by the rules of their sites."""

from dataclasses import dataclass

from django.db.models import Count

from records.counting import Rule, counted_failures, counted_repairs
from records.models.repair import RepairQuerySet


@dataclass(frozen=True, slots=True)
class RepairCounts:
    listed: int
    repairs: int
    failures: int


def repair_counts(rows: RepairQuerySet, rules: dict[int, Rule]) -> RepairCounts:
    return RepairCounts(
        **rows.order_by().aggregate(
            listed=Count("pk"),
            repairs=Count("pk", filter=counted_repairs(rules)),
            failures=Count("pk", filter=counted_failures(rules)),
        )
    )
