"""What each failure of some days cost, with its shop work, in one currency."""

from collections import defaultdict
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Any

from django.db.models import Count, F
from django.db.models.functions import Coalesce

from plant.models import Area, Site, User
from records.counting import Rule, counted_failures
from records.models.repair import RepairQuerySet
from records.selectors.costs import cost_sums, lines_of, repairs_reported


@dataclass(frozen=True, slots=True)
class FailureMoney:
    """One failure with any amount on record; shop work is charged to it."""

    item: str
    repair_cost: Decimal
    lost_production: Decimal


@dataclass(frozen=True, slots=True)
class MoneyOnRecord:
    """What failures cost in one currency, and what cannot be told in it.

    `elsewhere` are repair cost and lost production in each other currency, never
    added; the `mixed` failures that have some are not among `failures`, as what they
    cost in all is not known in one currency.
    """

    failures: list[FailureMoney] = field(default_factory=list)
    mixed: int = 0
    elsewhere: dict[str, Decimal] = field(default_factory=dict)


def failures_reported(
    *,
    user: User,
    rules: dict[int, Rule],
    start: date,
    end: date,
    site: Site | None = None,
    area: Area | None = None,
) -> RepairQuerySet:
    """Failures by the counting rule, open and unsigned ones included."""
    rows = repairs_reported(user=user, site=site, area=area, start=start, end=end)
    return rows.filter(counted_failures(rules))


def failure_money(failures: RepairQuerySet, currency: str) -> MoneyOnRecord:
    """Amounts of each failure in a currency; those without any are left out."""
    own = failures.order_by().values("pk")
    of_failure = Coalesce(F("repair__shop_work_of"), F("repair"))
    item = Coalesce(F("repair__shop_work_of__item"), F("repair__item"))
    model = failures.model
    either = model.objects.filter(pk__in=own) | model.objects.filter(
        shop_work_of__in=own
    )
    lines = lines_of(either).annotate(failure=of_failure, of_item=item)
    found: dict[int, FailureMoney] = {}
    mixed: set[int] = set()
    elsewhere: dict[str, Decimal] = defaultdict(Decimal)
    for row in cost_sums(lines, "failure", "of_item"):
        money = _money(row)
        if row["currency"] == currency:
            found[row["failure"]] = money
        elif total := money.repair_cost + money.lost_production:
            mixed.add(row["failure"])
            elsewhere[row["currency"]] += total
    kept = [money for failure, money in found.items() if failure not in mixed]
    return MoneyOnRecord(kept, len(mixed), dict(sorted(elsewhere.items())))


def _money(row: dict[str, Any]) -> FailureMoney:
    return FailureMoney(
        item=row["of_item"],
        repair_cost=row["repair_estimate"] + row["repair_booked"],
        lost_production=row["production_estimate"] + row["production_booked"],
    )


def failures_by_area(failures: RepairQuerySet) -> dict[int, int]:
    """Number of failures by the area of their position."""
    rows: Any = (
        failures.order_by().values_list("position__area").annotate(n=Count("pk"))
    )
    return dict(rows)
