"""What a reader must know before trusting a total of costs."""

from collections.abc import Sequence

from django.db.models import QuerySet

from analytics.reports.costs.basis import Basis
from analytics.reports.costs.breakdown import Breakdown
from analytics.reports.costs.question import CostQuestion
from plant.display import count
from records.counting import counted_failures
from records.models import CostLine


def cost_warnings(
    question: CostQuestion, lines: QuerySet[CostLine], shown: Breakdown
) -> list[str]:
    """Sentences about what is missing, late or kept apart; none if all is well."""
    found = _apart(question, shown.currencies)
    if question.basis is Basis.BOOKING:
        return found
    scope = question.scope
    repairs = question.repairs(scope.window.start, scope.window.end)
    own = repairs.filter(shop_work_of__isnull=True).order_by()
    modeless = own.filter(failure_mode="").filter(counted_failures(scope.rules))
    late = lines.filter(booked_on__gt=scope.window.end).count()
    still_open = repairs.filter(pk__in=repairs.open().order_by().values("pk")).count()
    for size, noun, meaning in (
        (shown.bare, "repair", "without any cost line yet."),
        (still_open, "repair", "open or unsigned; cost may still come."),
        (late, "cost line", "booked after the end of the period, included here."),
        (modeless.count(), "failure", "without a failure mode."),
    ):
        if size:
            found.append(f"{count(size, noun)} {meaning}")
    return found


def _apart(question: CostQuestion, units: Sequence[str]) -> list[str]:
    """That amounts in several units of money stand side by side, never together."""
    if len(units) < 2:
        return []
    named = ", ".join(units[:-1]) + f" and {units[-1]}"
    why = (
        "no rate of exchange is applied and nothing is added across currencies"
        if question.treatment.is_plain
        else "they are not the same money, and nothing is added across them"
    )
    return [f"Amounts in {named} are kept apart; {why}."]
