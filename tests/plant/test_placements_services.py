"""Placements: what the service does and refuses, and what the database holds."""

from datetime import UTC, date, datetime

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.db import IntegrityError, transaction

from plant.models import Placement
from plant.services.placements import pump_place, pump_take_out
from plant.services.rows import row_store
from tests.factories.plant import (
    FittedLifeFactory,
    PlacementFactory,
    PositionFactory,
    PumpFactory,
    UserFactory,
)


def at(month, day=1):
    return datetime(2024, month, day, tzinfo=UTC)


@pytest.fixture
def position(db):
    return PositionFactory(tag="P-101")


@pytest.fixture
def pump(position):
    return PumpFactory(site=position.site, serial_number="SN-1")


def refused_by_database(**changes):
    """Whether the raw row is refused, around every check of ours."""
    with pytest.raises(IntegrityError), transaction.atomic():
        Placement.objects.bulk_create([Placement(**changes)])
    return True


def test_a_pump_is_placed(planner, position, pump):
    placement = pump_place(by=planner, pump=pump, position=position, placed_at=at(1))
    assert placement.removed_at is None
    assert placement.history.get().history_user == planner


def test_the_pump_that_stood_there_goes_to_the_store(planner, position, pump):
    old = PlacementFactory(position=position)
    pump_place(by=planner, pump=pump, position=position, placed_at=at(2))
    old.refresh_from_db()
    assert old.removed_at == at(2)


def test_a_pump_leaves_where_it_stood_before(planner, position, pump):
    old = PlacementFactory(position=PositionFactory(area=position.area), pump=pump)
    pump_place(by=planner, pump=pump, position=position, placed_at=at(2))
    old.refresh_from_db()
    assert old.removed_at == at(2)


def test_a_pump_of_another_site_is_refused(planner, position):
    stranger = PumpFactory(serial_number="SN-9")
    with pytest.raises(ValidationError, match="SN-9 belongs to another site"):
        pump_place(by=planner, pump=stranger, position=position, placed_at=at(1))


@pytest.mark.parametrize("same", ["pump", "position"])
def test_a_placement_inside_a_closed_one_is_refused(planner, position, pump, same):
    other_pump = PumpFactory(site=position.site, serial_number="SN-2")
    other_position = PositionFactory(area=position.area, tag="P-102")
    PlacementFactory(
        pump=pump if same == "pump" else other_pump,
        position=position if same == "position" else other_position,
        placed_at=at(1),
        removed_at=at(6),
    )
    with pytest.raises(ValidationError) as refused:
        pump_place(by=planner, pump=pump, position=position, placed_at=at(3))
    assert "a pump is at one position at a time" in refused.value.messages[0]
    assert Placement.objects.count() == 1


def test_a_placement_before_a_later_open_one_is_refused(planner, position, pump):
    PlacementFactory(pump=pump, position=position, placed_at=at(6))
    with pytest.raises(ValidationError, match="from 2024-06-01 00:00 until today"):
        pump_place(by=planner, pump=pump, position=position, placed_at=at(3))


def test_placements_may_touch(planner, position, pump):
    PlacementFactory(position=position, placed_at=at(1), removed_at=at(3))
    pump_place(by=planner, pump=pump, position=position, placed_at=at(3))
    assert Placement.objects.filter(position=position).count() == 2


def test_a_pump_does_not_leave_before_it_came(planner, position):
    placement = PlacementFactory(position=position, placed_at=at(3))
    with pytest.raises(ValidationError, match="came to P-101 only on 2024-03-01 00:00"):
        pump_take_out(by=planner, placement=placement, removed_at=at(2))


def test_managers_move_no_pump(manager, position, pump):
    with pytest.raises(PermissionDenied):
        pump_place(by=manager, pump=pump, position=position, placed_at=at(1))


def test_people_of_another_site_move_no_pump(position, pump):
    stranger = UserFactory(role="planner", sees_all_sites=False)
    with pytest.raises(PermissionDenied, match="You do not work at"):
        pump_place(by=stranger, pump=pump, position=position, placed_at=at(1))


def test_the_database_refuses_a_removal_before_the_placing(position, pump):
    assert refused_by_database(
        pump=pump, position=position, placed_at=at(3), removed_at=at(2)
    )


def test_the_database_refuses_a_pump_at_two_positions(position, pump):
    PlacementFactory(pump=pump, position=PositionFactory(area=position.area))
    assert refused_by_database(pump=pump, position=position, placed_at=at(3))


def test_the_database_refuses_two_pumps_at_a_position(position, pump):
    PlacementFactory(position=position)
    assert refused_by_database(pump=pump, position=position, placed_at=at(3))


@pytest.mark.postgresql
@pytest.mark.parametrize("same", ["pump", "position"])
def test_postgresql_refuses_closed_placements_that_overlap(position, pump, same):
    other_pump = PumpFactory(site=position.site, serial_number="SN-2")
    other_position = PositionFactory(area=position.area, tag="P-102")
    PlacementFactory(
        pump=pump if same == "pump" else other_pump,
        position=position if same == "position" else other_position,
        placed_at=at(1),
        removed_at=at(6),
    )
    assert refused_by_database(
        pump=pump, position=position, placed_at=at(5), removed_at=at(8)
    )


@pytest.mark.postgresql
def test_postgresql_lets_placements_touch(position, pump):
    PlacementFactory(pump=pump, position=position, placed_at=at(1), removed_at=at(3))
    Placement.objects.bulk_create(
        [Placement(pump=pump, position=position, placed_at=at(3), removed_at=at(4))]
    )
    assert Placement.objects.count() == 2


def test_a_retired_pump_is_not_placed(planner, position):
    retired = PumpFactory(
        site=position.site, serial_number="SN-9", retired_on=date(2023, 5, 1)
    )
    with pytest.raises(ValidationError, match="SN-9 was retired on 2023-05-01"):
        pump_place(by=planner, pump=retired, position=position, placed_at=at(1))


def test_a_pump_is_not_placed_where_nothing_is_in_service(planner, position, pump):
    position.out_of_service_on = date(2024, 3, 1)
    position.save()
    with pytest.raises(ValidationError, match="P-101 is out of service since"):
        pump_place(by=planner, pump=pump, position=position, placed_at=at(3))
    assert pump_place(by=planner, pump=pump, position=position, placed_at=at(2))


def test_a_pump_leaves_once(planner, position):
    placement = PlacementFactory(position=position, placed_at=at(1))
    pump_take_out(by=planner, placement=placement, removed_at=at(2))
    with pytest.raises(ValidationError, match="left P-101 already on 2024-02-01"):
        pump_take_out(by=planner, placement=placement, removed_at=at(3))


def test_a_pump_does_not_leave_before_what_was_fitted_to_it_there(
    planner, position, pump
):
    placement = PlacementFactory(pump=pump, position=position, placed_at=at(1))
    FittedLifeFactory(pump=pump, position=position, fitted_at=at(5))
    elsewhere = PositionFactory(area=position.area, tag="P-102")
    sentence = "of SN-1 was fitted at P-101 on 2024-05-01 00:00"
    with pytest.raises(ValidationError, match=sentence):
        pump_take_out(by=planner, placement=placement, removed_at=at(4))
    with pytest.raises(ValidationError, match=sentence):
        pump_place(by=planner, pump=pump, position=elsewhere, placed_at=at(4))
    assert Placement.objects.get().removed_at is None
    assert pump_take_out(by=planner, placement=placement, removed_at=at(6))


def test_what_a_constraint_refuses_is_said_in_a_sentence(planner, position, pump):
    PlacementFactory(pump=pump, position=position, placed_at=at(6))
    second = Placement(pump=PumpFactory(), position=position, placed_at=at(3))
    with pytest.raises(ValidationError) as refused:
        row_store(second, planner)
    [sentence] = refused.value.messages
    assert "a position holds one pump" in sentence
    assert "onstraint" not in sentence


@pytest.mark.postgresql
def test_what_only_the_database_saw_is_said_in_a_sentence(planner, position, pump):
    PlacementFactory(pump=pump, placed_at=at(1), removed_at=at(6))
    second = Placement(pump=pump, position=position, placed_at=at(3), removed_at=at(4))
    with pytest.raises(ValidationError, match="A pump is at one position at a time"):
        row_store(second, planner)
    assert Placement.objects.count() == 1
