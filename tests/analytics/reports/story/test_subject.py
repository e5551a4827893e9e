"""Whose story it is: stays, homes, and the lives that belong to it."""

from datetime import UTC, datetime, timedelta

import pytest

from analytics.reports.story.subject import position_subject, pump_subject
from tests.factories.plant import PlacementFactory, PositionFactory, PumpFactory

AS_OF = datetime(2024, 1, 1, tzinfo=UTC)
DAY = timedelta(days=1)


def day(number):
    return AS_OF - (1000 - number) * DAY


@pytest.fixture
def moved(db):
    """A pump that stood at one position and now stands at another."""
    first = PlacementFactory(placed_at=day(0), removed_at=day(500))
    second = PlacementFactory(
        pump=first.pump,
        position=PositionFactory(area=first.position.area),
        placed_at=day(600),
    )
    return first, second


def test_a_position_has_the_lives_that_ended_while_a_pump_stood_there(engineer, moved):
    first, second = moved
    pump = first.pump_id
    subject = position_subject(user=engineer, position=first.position, as_of=AS_OF)
    assert subject.has_life(pump, day(400))
    assert subject.has_life(pump, day(510)), "taken out in the shop"
    assert not subject.has_life(pump, day(590))
    assert not subject.has_life(pump, AS_OF)
    assert subject.machine is None
    assert not subject.is_placed


def test_a_machine_takes_all_its_lives_along(engineer, moved):
    first, second = moved
    subject = pump_subject(user=engineer, pump=first.pump, as_of=AS_OF)
    assert subject.has_life(first.pump_id, day(400))
    assert subject.has_life(first.pump_id, AS_OF)
    assert not subject.has_life(first.pump_id + 1, AS_OF)
    assert subject.place == second.position
    assert subject.is_placed


def test_a_machine_in_the_store_is_at_home_where_it_stood_longest(engineer, db):
    long = PlacementFactory(placed_at=day(0), removed_at=day(500))
    PlacementFactory(pump=long.pump, placed_at=day(600), removed_at=day(700))
    subject = pump_subject(user=engineer, pump=long.pump, as_of=AS_OF)
    assert subject.place == long.position
    assert not subject.is_placed


def test_a_machine_that_never_stood_has_no_place(engineer, db):
    assert pump_subject(user=engineer, pump=PumpFactory(), as_of=AS_OF).place is None
