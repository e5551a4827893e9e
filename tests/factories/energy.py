"""Smallest valid acceptance points, and rounds of readings of flow, head and power."""

from datetime import UTC, datetime, timedelta

import factory

from plant.models import AcceptancePoint
from records.reading_choices import UNIT_OF_QUANTITY, Quantity
from tests.factories.plant import PumpFactory
from tests.factories.records import ReadingFactory

GRAVITY = 9.80665


class AcceptancePointFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = AcceptancePoint

    pump = factory.SubFactory(PumpFactory)
    flow_m3_h = 60.0
    head_m = 40.0
    shaft_power_kw = 10.0


def round_read(position, at: datetime, minutes: int = 0, **values):
    """Readings of one round, by the name of the quantity; others are its fields."""
    fields = {name: values.pop(name) for name in FIELDS if name in values}
    return [
        ReadingFactory(
            position=position,
            read_at=at + timedelta(minutes=minutes * place),
            quantity=Quantity[name],
            point="",
            value=value,
            entered_value=str(value),
            entered_unit=UNIT_OF_QUANTITY[Quantity[name]],
            **fields,
        )
        for place, (name, value) in enumerate(values.items())
    ]


FIELDS = ("pump", "running_state", "struck_reason")


def round_of(position, at: datetime, *, flow=60.0, head=40.0, efficiency, **more):
    """A round whose pump has this efficiency behind a motor of 93 %."""
    hydraulic = position.density_kg_m3 * GRAVITY * flow / 3600 * head / 1000
    power = hydraulic / efficiency / 0.93
    return round_read(position, at, FLOW=flow, HEAD=head, POWER=power, **more)


def day(number: int) -> datetime:
    """The n-th day of 2024 and on, at eight."""
    return datetime(2024, 1, 1, 8, tzinfo=UTC) + timedelta(days=number)
