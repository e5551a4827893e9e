"""What a reader must know before trusting a total of costs."""

from django.db.models import Count, Q, QuerySet

from analytics.reports.costs.basis import Basis
from analytics.reports.costs.work import Work
from analytics.scope import Scope
from plant.display import count, money
from records.counting import counted_failures
from records.models import CostLine
from records.models.repair import RepairQuerySet
from records.selectors.costs import cost_sums


def cost_warnings(
    scope: Scope,
    basis: Basis,
    work: Work,
    repairs: RepairQuerySet,
    lines: QuerySet[CostLine],
) -> list[str]:
    """What a reader must know before trusting a total."""
    found = _currencies(lines)
    if basis is Basis.BOOKING:
        return found
    if work is Work.FAILURES:
        found += _shop_work(lines)
    facts = repairs.filter(shop_work_of__isnull=True).aggregate(
        bare=Count("pk", filter=~Q(pk__in=lines.order_by().values("repair"))),
        modeless=Count("pk", filter=Q(failure_mode="") & counted_failures(scope.rules)),
    )
    late = lines.filter(booked_on__gt=scope.window.end).count()
    still_open = repairs.filter(pk__in=repairs.open().order_by().values("pk")).count()
    for size, noun, meaning in (
        (facts["bare"], "repair", "without any cost line yet."),
        (still_open, "repair", "open or unsigned; cost may still come."),
        (late, "cost line", "booked after the end of the period, included here."),
        (facts["modeless"], "failure", "without a failure mode."),
    ):
        if size:
            found.append(f"{count(size, noun)} {meaning}")
    return found


def _currencies(lines: QuerySet[CostLine]) -> list[str]:
    found = lines.order_by("currency").values_list("currency", flat=True).distinct()
    currencies = list(found)
    if len(currencies) < 2:
        return []
    return [
        f"Amounts in {' and '.join(currencies)} are kept apart; no rate of "
        "exchange is applied and nothing is added across currencies."
    ]


def _shop_work(lines: QuerySet[CostLine]) -> list[str]:
    """The repairs page counts shop work as no failure, so its list lacks these."""
    of_shop = lines.filter(repair__shop_work_of__isnull=False)
    return [
        f"Shop work of these failures is included: "
        f"{money(row['repair_estimate'] + row['repair_booked'], row['currency'])} of "
        "repair cost. The list of failures on the repairs page leaves it out."
        for row in cost_sums(of_shop)
    ]
