"""Which repair took a component out or fitted it, told from times alone."""

from datetime import UTC, datetime, timedelta

import pytest

from plant.choices import Component, Location, WhyRemoved
from records.choices import ChangeKind, Item, RepairState
from records.importing.links import changes_link
from records.models import ComponentChange
from tests.factories.plant import (
    FittedLifeFactory,
    PlacementFactory,
    PositionFactory,
    PumpFactory,
)
from tests.factories.records import RepairFactory

pytestmark = pytest.mark.django_db

NOON = datetime(2024, 3, 1, 12, tzinfo=UTC)


@pytest.fixture
def position():
    position = PositionFactory()
    PlacementFactory(position=position, pump=PumpFactory(site=position.site))
    return position


def repair_of(position, item, reported_at=NOON, hours=30, **fields):
    return RepairFactory(
        position=position,
        pump=position.placements.get().pump,
        item=item,
        reported_at=reported_at,
        stopped_at=reported_at,
        returned_at=reported_at + timedelta(hours=hours),
        **fields,
    )


def life_of(position, removed_at, component=Component.SEAL, **fields):
    places = {
        Component.SEAL: Location.SEAL_SINGLE_INNER,
        Component.RADIAL: Location.RADIAL_DE,
    }
    return FittedLifeFactory(
        pump=position.placements.get().pump,
        component=component,
        location=places[component],
        removed_at=removed_at,
        why_removed=WhyRemoved.DEFECT if removed_at else "",
        **fields,
    )


def link(position, repairs, lives):
    changes_link(
        sites=[position.site.name],
        new_repairs={row.pk for row in repairs},
        new_lives={row.pk for row in lives},
    )
    return set(ComponentChange.objects.values_list("repair", "life", "change"))


def test_a_seal_belongs_to_the_repair_in_whose_span_it_left(position):
    seal = life_of(position, NOON + timedelta(hours=5))
    early = repair_of(position, Item.SEAL, NOON - timedelta(days=40))
    repair = repair_of(position, Item.SEAL)
    assert link(position, [early, repair], [seal]) == {
        (repair.pk, seal.pk, ChangeKind.OUT)
    }


def test_the_repair_about_that_component_goes_first(position):
    seal = life_of(position, NOON)
    other = repair_of(position, Item.IMPELLER)
    repair = repair_of(position, Item.SEAL, NOON - timedelta(hours=10))
    assert link(position, [other, repair], [seal]) == {
        (repair.pk, seal.pk, ChangeKind.OUT)
    }


def test_a_bearing_renewed_with_the_seal_belongs_to_the_seal_repair(position):
    bearing = life_of(position, NOON, Component.RADIAL)
    repair = repair_of(position, Item.SEAL)
    assert link(position, [repair], [bearing]) == {
        (repair.pk, bearing.pk, ChangeKind.OUT)
    }


def test_work_that_opens_no_pump_took_nothing_out(position):
    seal = life_of(position, NOON)
    repair = repair_of(position, Item.OIL)
    assert link(position, [repair], [seal]) == set()


def test_a_day_without_a_time_counts_for_a_report_later_that_day(position):
    seal = life_of(position, NOON.replace(hour=0))
    repair = repair_of(position, Item.SEAL)
    assert link(position, [repair], [seal]) == {(repair.pk, seal.pk, ChangeKind.OUT)}


def test_a_seal_that_came_a_day_after_hand_back_still_belongs_to_it(position):
    repair = repair_of(position, Item.SEAL)
    near = life_of(position, None, fitted_at=repair.returned_at + timedelta(hours=20))
    assert link(position, [repair], [near]) == {(repair.pk, near.pk, ChangeKind.IN)}


def test_void_repairs_and_rows_of_earlier_imports_are_left_alone(position):
    seal = life_of(position, NOON)
    void = repair_of(
        position,
        Item.SEAL,
        state=RepairState.VOID,
        signed_at=NOON,
        void_reason="entered twice",
    )
    old = repair_of(position, Item.SEAL)
    assert link(position, [void], []) == set()
    ComponentChange.objects.create(repair=old, life=seal, change=ChangeKind.OUT)
    new = repair_of(position, Item.SEAL, NOON - timedelta(hours=1))
    assert link(position, [new], []) == {(old.pk, seal.pk, ChangeKind.OUT)}


def test_another_pump_has_nothing_to_do_with_it(position):
    seal = life_of(position, NOON)
    elsewhere = PositionFactory(area=position.area, site=position.site)
    PlacementFactory(position=elsewhere, pump=PumpFactory(site=position.site))
    repair = repair_of(elsewhere, Item.SEAL)
    assert link(position, [repair], [seal]) == set()
