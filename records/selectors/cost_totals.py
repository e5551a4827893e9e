"""What repairs cost: one sum for the repairs page, the cost page and the exports.

Only standing lines of repairs that are not void are added up. Repair cost, lost
production, and environment and safety stay apart; so do currencies.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db.models import BigIntegerField, F, Q, QuerySet, Sum
from django.db.models.functions import Cast, Round

from records.choices import REPAIR_COST_KINDS, CostKind, RepairState
from records.models import CostLine, Repair
from records.models.cost_line import CostLineQuerySet

CENT = Decimal("0.01")
NOTHING = Decimal("0.00")


@dataclass(frozen=True, slots=True)
class CostTotals:
    """Sums in one currency."""

    currency: str
    repair_cost: Decimal = NOTHING
    lost_production: Decimal = NOTHING
    environment_safety: Decimal = NOTHING


def cost_totals(
    repairs: QuerySet[Repair], of_lines: Q | None = None
) -> list[CostTotals]:
    """Sums over all repairs of a queryset, one row a currency, in its order.

    With `of_lines`, a condition, only over those of their lines.
    """
    lines = CostLine.objects.filter(repair__in=repairs.order_by().values("pk"))
    return cost_line_totals(lines.filter(of_lines or Q()))


def cost_line_totals(lines: CostLineQuerySet) -> list[CostTotals]:
    """Sums over cost lines; replaced ones and those of void repairs are left out."""
    return [_totals(row) for row in _sums(lines)]


def cost_line_totals_by(
    lines: CostLineQuerySet, *fields: str
) -> Iterator[tuple[tuple[Any, ...], CostTotals]]:
    """The same for each combination of fields, one pair for each currency of it."""
    for row in _sums(lines, *fields):
        yield tuple(row[field] for field in fields), _totals(row)


def _sums(lines: CostLineQuerySet, *by: str) -> Iterable[dict[str, Any]]:
    # Cents as whole numbers: SQLite would add decimals up as binary fractions.
    cents = Cast(Round(F("amount") * 100), BigIntegerField())
    rows: Iterable[dict[str, Any]] = (
        lines.standing()
        .exclude(repair__state=RepairState.VOID)
        .order_by(*by, "currency")
        .values(*by, "currency")
        .annotate(
            repair=Sum(cents, filter=Q(kind__in=REPAIR_COST_KINDS)),
            production=Sum(cents, filter=Q(kind=CostKind.LOST_PRODUCTION)),
            environment=Sum(cents, filter=Q(kind=CostKind.ENVIRONMENT_SAFETY)),
        )
    )
    return rows


def _totals(row: Mapping[str, Any]) -> CostTotals:
    return CostTotals(
        currency=row["currency"],
        repair_cost=_amount(row["repair"]),
        lost_production=_amount(row["production"]),
        environment_safety=_amount(row["environment"]),
    )


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
