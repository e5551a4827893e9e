"""A small made fleet whose counts and costs can be added up by hand."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

from analytics.reports.upgrades.assumptions import Assumptions
from records.choices import CostKind, Item
from records.models import UpgradeCase
from tests.factories.plant import AreaFactory, PositionFactory, SiteFactory
from tests.factories.records import CostLineFactory, RepairFactory

AS_OF = date(2023, 12, 31)
# Failures of each position in the 36 months up to AS_OF, one every hundred days.
COUNTS = (7, 5, 1, 0, 2, 1, 0, 1, 2, 0, 1, 1)
REPAIR, LOST = (1000, 1400), (0, 3000)
YEARS = 1095 / 365.25


def failed(position, on, item=Item.SEAL, repair=None, lost=None, currency="EUR"):
    found = RepairFactory(
        position=position,
        item=item,
        reported_at=datetime(on.year, on.month, on.day, 8, tzinfo=UTC),
    )
    for kind, amount in ((CostKind.PARTS, repair), (CostKind.LOST_PRODUCTION, lost)):
        if amount is not None:
            CostLineFactory(
                repair=found,
                kind=kind,
                amount=Decimal(amount),
                currency=currency,
                booked_on=on,
            )
    return found


def positions_made(site=None):
    area = AreaFactory(site=site or SiteFactory(name="Made works"))
    return [
        PositionFactory(area=area, tag=f"P-{number:02d}")
        for number in range(1, len(COUNTS) + 1)
    ]


def fleet_made(site=None):
    """Twelve positions; costs alternate, so that both means are known."""
    positions = positions_made(site)
    for position, count in zip(positions, COUNTS, strict=True):
        for number in range(count):
            on = date(2021, 2, 1) + timedelta(days=100 * number)
            failed(position, on, repair=REPAIR[number % 2], lost=LOST[number % 2])
    return positions


def case_of(positions, currency="EUR", change_made="dual seal", **typed):
    return UpgradeCase(
        site=positions[0].site,
        title="Made case",
        change_made=change_made,
        currency=currency,
        as_of=AS_OF,
        assumptions=Assumptions(**typed).to_json(),
    )
