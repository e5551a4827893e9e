"""Readings of the running-hour meter: what is stored and what is refused."""

from datetime import UTC, date, datetime

import pytest
from django.core.exceptions import PermissionDenied, ValidationError

from records.models import HourReading
from records.services.hours import hours_record
from tests.factories.plant import (
    DutyPeriodFactory,
    PlacementFactory,
    PositionFactory,
)
from tests.factories.records import HourReadingFactory


def at(month, day=1):
    return datetime(2024, month, day, tzinfo=UTC)


@pytest.fixture
def position(db):
    position = PositionFactory()
    HourReadingFactory(position=position, read_at=at(1), meter_hours=1000.0)
    HourReadingFactory(position=position, read_at=at(3), meter_hours=1500.0)
    return position


def record(planner, position, read_at, meter_hours, **more):
    return hours_record(
        by=planner, position=position, read_at=read_at, meter_hours=meter_hours, **more
    )


def test_a_rising_reading_is_stored(planner, position):
    record(planner, position, at(4), 1600.0)
    assert HourReading.objects.count() == 3


def test_a_reading_between_two_others_is_stored(planner, position):
    record(planner, position, at(2), 1200.0)
    assert HourReading.objects.filter(meter_hours=1200.0).exists()


def refusal(planner, position, read_at, meter_hours):
    """The sentence, with plain blanks before the units."""
    with pytest.raises(ValidationError) as refused:
        record(planner, position, read_at, meter_hours)
    return refused.value.messages[0].replace("\N{NO-BREAK SPACE}", " ")


def test_a_falling_meter_is_refused(planner, position):
    assert refusal(planner, position, at(4), 1499.0) == (
        "A meter does not run backwards: 1,500 h on 2024-03-01 00:00, 1,499 h on "
        "2024-04-01 00:00. If the meter was changed or reset, say so."
    )


def test_a_reading_above_the_next_one_is_refused(planner, position):
    with pytest.raises(ValidationError, match="does not run backwards"):
        record(planner, position, at(2), 1501.0)


def test_a_new_meter_may_show_less(planner, position):
    reading = record(planner, position, at(4), 3.0, is_new_meter=True)
    assert reading.is_new_meter


def test_a_new_meter_in_between_breaks_with_what_follows(planner, position):
    with pytest.raises(ValidationError, match="does not run faster than time"):
        record(planner, position, at(2, 28), 3.0, is_new_meter=True)


def test_a_meter_faster_than_time_is_refused(planner, position):
    assert refusal(planner, position, at(3, 2), 1600.0) == (
        "A meter does not run faster than time: between 2024-03-01 00:00 and "
        "2024-03-02 00:00 lie 24 h, not 100 h."
    )


def test_two_readings_of_one_moment_are_refused(planner, position):
    sentence = "At that time 1,500 h stands already."
    assert refusal(planner, position, at(3), 1500.0) == sentence


def test_a_reading_of_the_future_is_refused(planner, position):
    with pytest.raises(ValidationError, match="This time is still to come"):
        record(planner, position, datetime(2999, 1, 1, tzinfo=UTC), 1600.0)


def test_managers_record_no_hours(manager, position):
    with pytest.raises(PermissionDenied):
        record(manager, position, at(4), 1600.0)


def asked(planner, read_at, meter_hours, **position):
    """The sentence that asks for a tick at a position without readings."""
    empty = PositionFactory(tag="P-9", **position)
    with pytest.raises(ValidationError) as refused:
        record(planner, empty, read_at, meter_hours)
    [sentence] = refused.value.message_dict["is_new_meter"]
    return sentence.replace("\N{NO-BREAK SPACE}", " ")


def test_a_first_reading_far_below_the_time_in_service_is_asked_back(planner, db):
    assert asked(planner, at(1), 5.0, in_service_on=date(2016, 1, 1)) == (
        "P-9 is in service since 2016-01-01, about 70,128 h of running, and its first "
        "reading is 5 h. Tick if the meter is new or was reset; else correct the "
        "reading."
    )


def test_without_a_day_of_service_the_first_pump_tells(planner, db):
    position = PositionFactory(in_service_on=None)
    PlacementFactory(position=position)
    with pytest.raises(ValidationError, match="in service since 2020-01-01"):
        record(planner, position, at(1), 5.0)


def test_a_first_reading_of_a_new_meter_is_stored(planner, db):
    position = PositionFactory(in_service_on=date(2016, 1, 1))
    assert record(planner, position, at(1), 5.0, is_new_meter=True).pk


@pytest.mark.parametrize(
    ("meter_hours", "share"), [(7100.0, 1.0), (710.0, 0.1), (0.0, 0.0)]
)
def test_a_first_reading_that_fits_the_running_share_is_stored(
    planner, db, meter_hours, share
):
    position = PositionFactory(in_service_on=date(2016, 1, 1))
    DutyPeriodFactory(position=position, running_share=share)
    assert record(planner, position, at(1), meter_hours).pk
