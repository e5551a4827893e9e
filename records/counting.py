"""What counts as a repair and as a failure: one rule, one place, also in words."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from django.db.models import Q

from plant.models import Site
from records.choices import Activity, Category, Item, RepairState
from records.models import CountingRule
from records.models.counting_rule import (
    default_excluded_activities,
    default_excluded_items,
    default_failure_categories,
    default_repair_categories,
)


@dataclass(frozen=True, slots=True)
class Rule:
    """A counting rule as plain data."""

    version: int = 0
    repair_categories: list[str] = field(default_factory=default_repair_categories)
    failure_categories: list[str] = field(default_factory=default_failure_categories)
    excluded_activities: list[str] = field(default_factory=default_excluded_activities)
    excluded_items: list[str] = field(default_factory=default_excluded_items)

    def repairs(self) -> Q:
        """Condition for rows that count as a repair (MTBR)."""
        return (
            Q(category__in=self.repair_categories, shop_work_of__isnull=True)
            & ~Q(state=RepairState.VOID)
            & ~Q(activity__in=self.excluded_activities)
            & ~Q(item__in=self.excluded_items)
        )

    def failures(self) -> Q:
        """Condition for rows that count as a failure (MTBF)."""
        return self.repairs() & Q(category__in=self.failure_categories)

    def in_words(self) -> str:
        """The rule as a sentence to print beside a figure."""
        every = set(self.repair_categories) == {str(c) for c in Category}
        first = (
            "every repair"
            if every
            else f"{words(self.repair_categories, Category)} repairs"
        )
        left_out = words(self.excluded_activities, Activity, self.excluded_items, Item)
        without = f", except {left_out}" if left_out else ""
        name = f"rule {self.version}" if self.version else "standard rule"
        return (
            f"Counted from the report on, open and unsigned ones included: {first}"
            f"{without}. Failures: {words(self.failure_categories, Category)}. "
            f"Shop work belongs to its stoppage and is not counted again ({name})."
        )


def words(*codes_and_choices: Iterable[str] | type) -> str:
    """Labels of codes, lower case, joined; arguments alternate codes and choices."""
    labels: list[str] = []
    for codes, choices in zip(
        codes_and_choices[::2], codes_and_choices[1::2], strict=True
    ):
        by_code = dict(choices.choices)  # type: ignore[union-attr]
        labels += [str(by_code.get(code, code)).lower() for code in codes]  # type: ignore[union-attr]
    if len(labels) < 2:
        return "".join(labels)
    return ", ".join(labels[:-1]) + " and " + labels[-1]


def rules_by_site(sites: Iterable[Site]) -> dict[int, Rule]:
    """The rule that holds now at each site, by site id; one query."""
    wanted = [site.pk for site in sites]
    rules: dict[int, Rule] = {pk: Rule() for pk in wanted}
    for row in CountingRule.objects.filter(site__in=wanted).order_by("version"):
        rules[row.site_id] = Rule(
            version=row.version,
            repair_categories=row.repair_categories,
            failure_categories=row.failure_categories,
            excluded_activities=row.excluded_activities,
            excluded_items=row.excluded_items,
        )
    return rules


def counted_repairs(rules: dict[int, Rule]) -> Q:
    """Condition over several sites, each by its own rule."""
    return _by_site({site: rule.repairs() for site, rule in rules.items()})


def counted_failures(rules: dict[int, Rule]) -> Q:
    """Condition over several sites, each by its own rule."""
    return _by_site({site: rule.failures() for site, rule in rules.items()})


def _by_site(conditions: dict[int, Q]) -> Q:
    # Sites of one rule share a condition: SQLite takes no endless chain of them.
    sites: dict[Q, list[int]] = {}
    for site, condition in conditions.items():
        sites.setdefault(condition, []).append(site)
    either = Q(pk__in=[])
    for condition, of_rule in sites.items():
        either |= Q(site__in=of_rule) & condition
    return either
