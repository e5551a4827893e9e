"""What repairs cost: one sum for the repairs page, the cost page and the exports.

Only standing lines of repairs that are not void are added up. Repair cost, lost
production, and environment and safety stay apart; so do currencies.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import BigIntegerField, Exists, F, OuterRef, Q, QuerySet, Sum
from django.db.models.functions import Cast, Round

from records.choices import REPAIR_COST_KINDS, CostKind, RepairState
from records.models import CostLine, Repair

CENT = Decimal("0.01")
NOTHING = Decimal("0.00")


@dataclass(frozen=True, slots=True)
class CostTotals:
    """Sums in one currency."""

    currency: str
    repair_cost: Decimal = NOTHING
    lost_production: Decimal = NOTHING
    environment_safety: Decimal = NOTHING


def cost_totals(repairs: QuerySet[Repair]) -> list[CostTotals]:
    """Sums over all repairs of a queryset, one row a currency, in its order."""
    return cost_line_totals(
        CostLine.objects.filter(repair__in=repairs.order_by().values("pk"))
    )


def cost_line_totals(lines: QuerySet[CostLine]) -> list[CostTotals]:
    """Sums over cost lines; replaced ones and those of void repairs are left out."""
    # Cents as whole numbers: SQLite would add decimals up as binary fractions.
    cents = Cast(Round(F("amount") * 100), BigIntegerField())
    rows = (
        lines_standing(lines)
        .exclude(repair__state=RepairState.VOID)
        .order_by("currency")
        .values("currency")
        .annotate(
            repair=Sum(cents, filter=Q(kind__in=REPAIR_COST_KINDS)),
            production=Sum(cents, filter=Q(kind=CostKind.LOST_PRODUCTION)),
            environment=Sum(cents, filter=Q(kind=CostKind.ENVIRONMENT_SAFETY)),
        )
    )
    return [
        CostTotals(
            currency=row["currency"],
            repair_cost=_amount(row["repair"]),
            lost_production=_amount(row["production"]),
            environment_safety=_amount(row["environment"]),
        )
        for row in rows
    ]


def lines_standing(lines: QuerySet[CostLine]) -> QuerySet[CostLine]:
    """Those that no later line replaced, as `standing()` says it.

    Asked as "no such line exists": of the left join that `standing()` makes PostgreSQL
    expects one row, and then looks every line up by itself.
    """
    return lines.filter(~Exists(CostLine.objects.filter(replaces=OuterRef("pk"))))


def totals_of_lines(lines: Iterable[CostLine]) -> list[CostTotals]:
    """The same sums over lines already fetched for one repair, all standing."""
    sums: dict[str, dict[str, Decimal]] = {}
    for line in lines:
        of_currency = sums.setdefault(line.currency, {})
        part = _part_of(line.kind)
        of_currency[part] = of_currency.get(part, NOTHING) + line.amount
    return [CostTotals(currency, **sums[currency]) for currency in sorted(sums)]


def _part_of(kind: str) -> str:
    if kind in REPAIR_COST_KINDS:
        return "repair_cost"
    return (
        "lost_production"
        if kind == CostKind.LOST_PRODUCTION
        else ("environment_safety")
    )


def _amount(cents: int | None) -> Decimal:
    return Decimal(cents or 0) * CENT
