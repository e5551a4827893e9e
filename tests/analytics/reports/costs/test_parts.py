"""Asked of one repair or of many at once, a repair stands under the same part."""

import pytest

from plant.choices import Component, Location
from records.choices import ChangeKind, Item
from records.models import ComponentChange, Repair
from records.selectors.part_named import (
    NO_PART,
    SEVERAL_PARTS,
    part_named,
    parts_named,
)
from tests.factories.plant import FittedLifeFactory, PumpFactory
from tests.factories.records import RepairFactory

pytestmark = pytest.mark.django_db
CHANGES = (
    (),
    ((Component.SEAL, "S-1", ChangeKind.OUT),),
    ((Component.SEAL, "", ChangeKind.OUT),),
    ((Component.SEAL, "S-2", ChangeKind.IN), (Component.RADIAL, "B-1", ChangeKind.OUT)),
    (
        (Component.RADIAL, "B-2", ChangeKind.OUT),
        (Component.THRUST, "B-3", ChangeKind.OUT),
    ),
)
PLACES = {
    Component.SEAL: Location.SEAL_SINGLE_INNER,
    Component.RADIAL: Location.RADIAL_DE,
    Component.THRUST: Location.THRUST,
}
EXPECTED = [NO_PART, "S-1", NO_PART, "S-2", SEVERAL_PARTS]


def test_both_ways_of_asking_name_the_same_part():
    for changes in CHANGES:
        repair = RepairFactory(item=Item.SEAL, pump=PumpFactory())
        for component, number, change in changes:
            life = FittedLifeFactory(
                pump=repair.pump,
                component=component,
                location=PLACES[component],
                part_number=number,
            )
            ComponentChange.objects.create(repair=repair, life=life, change=change)
    repairs = Repair.objects.order_by("pk")
    one_by_one = repairs.annotate(part=part_named()).values_list("part", flat=True)
    at_once = parts_named(repairs)
    assert list(one_by_one) == EXPECTED
    assert [at_once.get(repair.pk, NO_PART) for repair in repairs] == EXPECTED
