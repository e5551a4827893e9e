"""Lost production of a place and its days: worked out, and entered."""

from dataclasses import dataclass, field
from datetime import datetime
from decimal import Decimal
from functools import cached_property

import pandas as pd
from django.utils import timezone

from analytics.reports.lost_production.losses import CENT, Losses, losses
from analytics.reports.lost_production.outcome import Outcome
from analytics.scope import Scope
from plant.access import require
from plant.models.position import PositionQuerySet
from records.selectors.cost_totals import CostTotals, cost_totals
from records.selectors.costs import repairs_reported
from records.selectors.stoppages import (
    Days,
    lost_production_lines,
    member_rows,
    members_of,
    stoppage_rows,
    stoppages_before,
    stoppages_in,
)


@dataclass(frozen=True, slots=True)
class LostProductionWorkedOut:
    """What stoppages lost where nobody entered a figure."""

    amounts: dict[str, Decimal]
    """By currency of the site; never an amount of the ledger."""
    stoppages: int
    """How many of them lost something."""
    unpriced: int = 0
    """How many more lost hours at a position without a stopped cost per hour."""


@dataclass(frozen=True)
class LostProductionReport:
    """Everything that the page and its files show."""

    scope: Scope
    losses: Losses
    entered: list[CostTotals]
    """Lost production in the ledger of repairs reported in the period."""
    rows: pd.DataFrame = field(repr=False)
    """Stoppages of the place that reach into the period; index: row of `losses`."""

    @cached_property
    def worked_out(self) -> LostProductionWorkedOut:
        return _worked_out(self.losses, self.rows)

    def counted_as(self, outcome: Outcome) -> int:
        return int((self.rows["outcome"] == str(outcome)).sum())

    @property
    def with_a_loss(self) -> int:
        """Stoppages with lost production that was entered or is worked out."""
        lines = self.losses.lines
        with_figure = self.rows.loc[self.rows["has_figure"], "repair"]
        entered = sum(any(line["amount"] for line in lines[r]) for r in with_figure)
        return entered + int(
            ((self.rows["counted"] > 0) & ~self.rows["has_figure"]).sum()
        )


def lost_production_worked_out(
    scope: Scope, now: datetime | None = None
) -> LostProductionWorkedOut:
    """Sums for the Costs page: what nobody entered, by currency.

    Raises
    ------
    PermissionDenied
        When the user's role may not see costs.
    """
    require(scope.user, "records.see_costs")
    found = losses_of(scope, now)
    return _worked_out(found, rows_in(scope, found))


def lost_production_report(
    scope: Scope, now: datetime | None = None
) -> LostProductionReport:
    """The page of lost production.

    Raises
    ------
    PermissionDenied
        When the user's role may not see costs.
    """
    require(scope.user, "records.see_costs")
    found = losses_of(scope, now)
    reported = repairs_reported(
        user=scope.user,
        site=scope.site,
        area=scope.area,
        start=scope.window.start,
        end=scope.window.end,
    )
    entered = [total for total in cost_totals(reported) if total.lost_production]
    return LostProductionReport(scope, found, entered, rows_in(scope, found))


def losses_of(scope: Scope, now: datetime | None = None) -> Losses:
    """Losses of all positions asked for, and of those that spare them."""
    return losses_in(scope.positions(), Days(scope.window.start, scope.window.end), now)


def losses_in(
    positions: PositionQuerySet, days: Days, now: datetime | None = None
) -> Losses:
    """The same for any positions and days."""
    members = members_of(positions)
    member_table = member_rows(members)
    stops = stoppages_in(members, days)
    table = stoppage_rows(stops)
    before = stoppages_before(member_table, table, days)
    return losses(
        member_table,
        pd.concat([table, before], ignore_index=True),
        lost_production_lines(stops, before["repair"]),
        (days.start, days.end),
        now or timezone.now(),
    )


def rows_in(scope: Scope, found: Losses) -> pd.DataFrame:
    """The rows of the positions asked for that reach into the days."""
    table = found.table
    asked = pd.Index(scope.positions().order_by().values_list("pk", flat=True))
    return table[table["in_days"].astype(bool) & table["position"].isin(asked)]


def _worked_out(found: Losses, rows: pd.DataFrame) -> LostProductionWorkedOut:
    counted = rows[rows["counted"] > 0]
    currencies = found.members["currency"].to_numpy()[counted["member"].to_numpy()]
    sums = counted.groupby(currencies)["counted"].sum()
    return LostProductionWorkedOut(
        amounts={str(code): int(cents) * CENT for code, cents in sums.items()},
        stoppages=len(counted),
        unpriced=int((rows["outcome"] == str(Outcome.UNPRICED)).sum()),
    )
