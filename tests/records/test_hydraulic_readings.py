"""Rounds of flow, head and power: what belongs together, and to which pump."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from plant.models import Position
from records.reading_choices import RunningState
from records.selectors.hydraulic_readings import hydraulic_record
from tests.factories.energy import day, round_read
from tests.factories.plant import PlacementFactory, PositionFactory

pytestmark = pytest.mark.django_db
UNTIL = day(1000)


def rounds_at(position):
    record = hydraulic_record(Position.objects.all(), until=UNTIL)
    return record.rounds.get(position.pk, [])


def test_what_is_read_within_an_hour_is_one_round():
    position = PlacementFactory().position
    round_read(position, day(1), minutes=30, FLOW=60.0, HEAD=40.0, POWER=9.0)
    round_read(position, day(1) + timedelta(minutes=61), FLOW=50.0)
    first, second = rounds_at(position)
    assert (first.flow_m3_h, first.head_m(1000), first.motor_power_kw) == (60, 40, 9)
    assert first.read_at == day(1)
    assert first.is_whole
    assert second.missing == "head and power"


def test_a_quantity_read_twice_in_a_round_counts_with_its_mean():
    position = PlacementFactory().position
    round_read(position, day(1), FLOW=60.0, HEAD=40.0, POWER=9.0)
    round_read(position, day(1) + timedelta(minutes=5), FLOW=62.0)
    (only,) = rounds_at(position)
    assert only.flow_m3_h == 61


def test_head_comes_from_the_pressures_and_the_density():
    position = PlacementFactory().position
    round_read(position, day(1), FLOW=60.0, SUCTION=0.5, DISCHARGE=5.5, POWER=9.0)
    (only,) = rounds_at(position)
    # 5 bar over 1200 kg/m3 and 9.80665 m/s2
    assert only.head_m(1200) == pytest.approx(42.4882, abs=1e-4)
    assert only.is_whole
    assert not only.head_is_read
    assert only.head_m(None) is None


def test_one_pressure_is_no_head():
    position = PlacementFactory().position
    round_read(position, day(1), FLOW=60.0, DISCHARGE=5.5, POWER=9.0)
    assert rounds_at(position)[0].missing == "head"


def test_struck_and_standby_readings_are_left_out_and_counted():
    position = PlacementFactory().position
    round_read(position, day(1), FLOW=60.0, struck_reason="Wrong pump")
    round_read(position, day(1), HEAD=4.0, running_state=RunningState.STANDBY)
    record = hydraulic_record(Position.objects.all(), until=UNTIL)
    assert record.rounds == {}
    assert (record.struck[position.pk], record.standby[position.pk]) == (1, 1)


def test_a_round_belongs_to_the_pump_that_stood_there_then():
    position = PositionFactory()
    old = PlacementFactory(position=position, removed_at=day(10)).pump
    new = PlacementFactory(position=position, placed_at=day(20)).pump
    for number in (5, 15, 25):
        round_read(position, day(number), FLOW=60.0)
    assert [one.pump for one in rounds_at(position)] == [old.pk, None, new.pk]
    record = hydraulic_record(Position.objects.all(), until=UNTIL)
    assert record.standing(position.pk).serial == new.serial_number


def test_the_pump_named_with_a_reading_goes_before_the_placement():
    placement = PlacementFactory()
    other = PlacementFactory().pump
    round_read(placement.position, day(1), FLOW=60.0, pump=other)
    round_read(placement.position, day(1), HEAD=40.0, pump=placement.pump)
    pumps = {one.pump for one in rounds_at(placement.position)}
    assert pumps == {other.pk, placement.pump.pk}


def test_readings_outside_the_time_asked_for_do_not_count():
    position = PlacementFactory().position
    for number in (1, 50, 1001):
        round_read(position, day(number), FLOW=60.0)
    record = hydraulic_record(Position.objects.all(), until=UNTIL, since=day(2))
    assert [one.read_at for one in record.rounds[position.pk]] == [day(50)]


def test_many_positions_cost_as_many_queries_as_one():
    for _number in range(5):
        round_read(PlacementFactory().position, day(1), FLOW=60.0, HEAD=4.0)
    with CaptureQueriesContext(connection) as queries:
        hydraulic_record(Position.objects.all(), until=UNTIL)
    assert len(queries) == 2
