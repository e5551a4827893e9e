"""A ledger whose every text would like to be a formula, on sites of two currencies."""

from datetime import date
from decimal import Decimal

from plant.choices import Component
from records.choices import (
    Category,
    Cause,
    ChangeKind,
    CostKind,
    CostStatus,
    FailureMode,
    Item,
    Mechanism,
)
from records.models import ComponentChange, ExchangeRate, PriceLevel
from tests.factories.plant import (
    AreaFactory,
    FittedLifeFactory,
    PositionFactory,
    PumpFactory,
    SiteFactory,
)
from tests.factories.records import CostLineFactory, RepairFactory

STARTS = (
    *("=1+1", "+1", "-1", "@SUM(A1)", "\t=1+1", "\r=1+1", '=HYPERLINK("x")'),
    *("<r><t>bold</t></r>", "<r>&</r>", "_x0041_", "http://a.example", " two  spaces "),
    *("007", "1e5", "TRUE", "*", "äöü \u2028 Ω 漢", "a\x0bb"),
)
QUESTION = {"start": "2023-01-01", "end": "2024-12-31"}


def nasty_ledger():
    """One position, pump, part, repair and two lines for each of STARTS."""
    for n, text in enumerate(STARTS):
        site = SiteFactory(name=f"{text} {n}")
        position = PositionFactory(area=AreaFactory(site=site, name=text), tag=text)
        pump = PumpFactory(site=site, serial_number=text)
        repair = RepairFactory(
            position=position,
            pump=pump,
            number=text,
            category=Category.values[n % len(Category.values)],
            failure_mode=FailureMode.values[n],
            item=Item.SEAL,
            mechanism=Mechanism.values[n],
            cause=Cause.values[n],
        )
        life = FittedLifeFactory(pump=pump, component=Component.SEAL, part_number=text)
        ComponentChange.objects.create(repair=repair, life=life, change=ChangeKind.OUT)
        for status, currency in zip(CostStatus, ("EUR", "USD"), strict=True):
            CostLineFactory(
                repair=repair,
                kind=CostKind.values[n % len(CostKind.values)],
                status=status,
                currency=currency,
                amount=Decimal(f"{10 + n}.{n:02d}") * (-1 if n == 7 else 1),
                booked_on=date(2023 + n % 2, 3, 10),
                note=text,
            )


def money_tables():
    """Rates of one year only: the amounts of the other stay apart."""
    ExchangeRate.objects.create(
        year=2023, currency="USD", into="EUR", rate=Decimal("0.9248")
    )
    for year, level in ((2023, "104.2"), (2024, "107.9")):
        PriceLevel.objects.create(year=year, currency="EUR", level=Decimal(level))
