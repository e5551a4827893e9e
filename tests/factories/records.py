"""Smallest valid rows of the repair log."""

from datetime import UTC, date, datetime
from decimal import Decimal

import factory

from records.choices import Category, CostKind, CostStatus
from records.models import CostLine, HourReading, Reading, Repair
from tests.factories.plant import PositionFactory


class RepairFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Repair

    position = factory.SubFactory(PositionFactory)
    site = factory.SelfAttribute("position.site")
    number = factory.Sequence(lambda n: f"R-{n:05d}")
    reported_at = datetime(2024, 3, 1, 8, tzinfo=UTC)
    category = Category.CORRECTIVE


class CostLineFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = CostLine

    repair = factory.SubFactory(RepairFactory)
    kind = CostKind.PARTS
    amount = Decimal("100.00")
    currency = "EUR"
    status = CostStatus.BOOKED
    booked_on = date(2024, 3, 10)


class HourReadingFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = HourReading

    position = factory.SubFactory(PositionFactory)
    read_at = datetime(2024, 1, 1, tzinfo=UTC)
    meter_hours = 0.0


class ReadingFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Reading

    position = factory.SubFactory(PositionFactory)
    read_at = datetime(2024, 1, 1, tzinfo=UTC)
    quantity = "vibration"
    point = "de h"
    value = 3.0
    entered_value = "3.0"
    entered_unit = "mm/s"
