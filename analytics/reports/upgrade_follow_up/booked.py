"""What the change has cost so far, by the ledger of the positions it was made at."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from records.models import UpgradeCase
from records.selectors.costs import cost_sums, lines_of
from records.selectors.upgrade_cases import modifications_of


@dataclass(frozen=True, slots=True)
class BookedCost:
    """Labour, parts, contractor and other of the modification, in one currency."""

    currency: str
    booked: Decimal
    estimate: Decimal

    @property
    def total(self) -> Decimal:
        return self.booked + self.estimate


def modification_cost(
    case: UpgradeCase, since: date, until: date
) -> tuple[int, list[BookedCost]]:
    """Number of modification repairs reported on these days, and their cost.

    Currencies stand apart, that of the case first.
    """
    repairs = modifications_of(case, since=since, until=until)
    found = [
        BookedCost(row["currency"], row["repair_booked"], row["repair_estimate"])
        for row in cost_sums(lines_of(repairs))
    ]
    shown = [cost for cost in found if cost.total]
    first = sorted(shown, key=lambda c: (c.currency != case.currency, c.currency))
    return repairs.count(), first
