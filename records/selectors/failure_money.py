"""What each failure of some days cost, with its shop work, in one currency."""

from dataclasses import dataclass
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


def failure_money(failures: RepairQuerySet, currency: str) -> list[FailureMoney]:
    """Amounts of each failure in a currency; those without any are left out."""
    own = failures.order_by().values("pk")
    of_failure = Coalesce(F("repair__shop_work_of"), F("repair"))
    item = Coalesce(F("repair__shop_work_of__item"), F("repair__item"))
    model = failures.model
    either = model.objects.filter(pk__in=own) | model.objects.filter(
        shop_work_of__in=own
    )
    lines = lines_of(either).filter(currency=currency)
    sums = cost_sums(
        lines.annotate(failure=of_failure, of_item=item), "failure", "of_item"
    )
    return [
        FailureMoney(
            item=row["of_item"],
            repair_cost=row["repair_estimate"] + row["repair_booked"],
            lost_production=row["production_estimate"] + row["production_booked"],
        )
        for row in sums
    ]


def failures_by_area(failures: RepairQuerySet) -> dict[int, int]:
    """Number of failures by the area of their position."""
    rows: Any = (
        failures.order_by().values_list("position__area").annotate(n=Count("pk"))
    )
    return dict(rows)
