"""Readings: what is stored, what is refused, what deserves a look."""

from datetime import UTC, datetime

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.db import connection
from django.test.utils import CaptureQueriesContext

from records.models import Reading, WarningLevel
from records.selectors.readings import (
    positions_in_zone,
    readings_latest,
)
from records.services.readings import (
    ReadingEntry,
    ReadingRefused,
    reading_strike,
    readings_record,
    warning_level_set,
)
from tests.factories.plant import PlacementFactory, PositionFactory
from tests.factories.records import ReadingFactory

NOON = datetime(2024, 6, 1, 12, tzinfo=UTC)


def record(by, position, *entries, **more):
    values = {"read_at": NOON, "running_state": "running", **more}
    return readings_record(by=by, position=position, entries=entries, **values)


@pytest.mark.parametrize(
    ("entry", "value"),
    [
        (ReadingEntry("vibration", "4,2", "mm/s", "de h"), 4.2),
        (ReadingEntry("vibration", "0.2", "in/s peak", "de h"), 3.592),
        (ReadingEntry("seal leakage", "20", "drops/min"), 60.0),
        (ReadingEntry("bearing temperature", "185", "°F", "de"), 85.0),
        (ReadingEntry("discharge pressure", "100", "psi"), 6.8948),
    ],
)
def test_a_value_is_stored_in_one_unit_and_as_typed(planner, entry, value):
    reading = record(planner, PositionFactory(), entry)[0]
    assert reading.value == pytest.approx(value, rel=1e-4)
    assert (reading.entered_value, reading.entered_unit) == (entry.value, entry.unit)


def test_the_pump_that_stood_there_is_kept(planner):
    placement = PlacementFactory()
    reading = record(planner, placement.position, ReadingEntry("flow", "40", "m³/h"))[0]
    assert reading.pump == placement.pump


@pytest.mark.parametrize(
    ("entry", "words"),
    [
        (ReadingEntry("vibration", "abc", "mm/s", "de h"), "Type a number"),
        (ReadingEntry("vibration", "nan", "mm/s", "de h"), "beyond what a pump"),
        (ReadingEntry("vibration", "-1", "mm/s", "de h"), "beyond what a pump"),
        (ReadingEntry("vibration", "4000", "mm/s", "de h"), "check number and unit"),
        (ReadingEntry("vibration", "4", "furlong", "de h"), "another unit"),
        (ReadingEntry("flow", "4", "m³/h", "de h"), "read elsewhere"),
        (ReadingEntry("taste", "4", "m"), "read elsewhere"),
    ],
)
def test_one_wrong_value_stores_none(planner, entry, words):
    position = PositionFactory()
    good = ReadingEntry("flow", "40", "m³/h")
    with pytest.raises(ReadingRefused, match=words) as refusal:
        record(planner, position, good, entry)
    assert refusal.value.index == 1
    assert not Reading.objects.exists()


def test_nothing_typed_or_a_time_to_come_is_refused(planner):
    position = PositionFactory()
    with pytest.raises(ValidationError, match="at least one"):
        record(planner, position)
    later = datetime(2099, 1, 1, tzinfo=UTC)
    flow = ReadingEntry("flow", "40", "m³/h")
    with pytest.raises(ValidationError, match="still to come"):
        record(planner, position, flow, read_at=later)


def test_a_key_is_stored_once(planner):
    position = PositionFactory()
    key = "1b4e28ba-2fa1-41d2-883f-0016d3cca427"
    entry = ReadingEntry("flow", "40", "m³/h", key=key)
    record(planner, position, entry)
    assert record(planner, position, entry) == []
    assert Reading.objects.count() == 1


def test_a_manager_stores_no_reading(manager):
    with pytest.raises(PermissionDenied):
        record(manager, PositionFactory(), ReadingEntry("flow", "40", "m³/h"))


def test_a_struck_reading_is_kept_and_left_out(planner):
    reading = ReadingFactory(value=12.0)
    reading_strike(by=planner, reading=reading, reason="Wrong pump")
    reading.refresh_from_db()
    assert "Wrong pump" in reading.struck_reason
    assert readings_latest([reading.position]) == []
    with pytest.raises(ValidationError, match="struck already"):
        reading_strike(by=planner, reading=reading, reason="Again")


def test_toxic_liquid_is_judged_by_the_stricter_category(db):
    toxic = PositionFactory(hazards=["toxic"], power_kw=75.0)
    plain = PositionFactory(hazards=[], power_kw=75.0)
    rows = [ReadingFactory(position=p, value=4.5) for p in (toxic, plain)]
    zones = {j.reading.pk: j.zone for j in readings_latest([toxic, plain])}
    assert [zones[row.pk] for row in rows] == ["C", "B"]


def test_only_the_newest_of_each_point_is_judged(db):
    position = PositionFactory(power_kw=75.0)
    ReadingFactory(position=position, value=9.0)
    ReadingFactory(position=position, value=2.0, read_at=NOON)
    ReadingFactory(position=position, value=6.0, point="nde v", read_at=NOON)
    assert [row.zone for row in readings_latest([position])] == ["A", "C"]
    worst = positions_in_zone([position])
    assert worst[position.pk].reading.value == 6.0


def test_a_pump_at_rest_is_not_judged(db):
    row = ReadingFactory(value=90.0, running_state="standby")
    judged = readings_latest([row.position])[0]
    assert (judged.zone, judged.is_beyond) == ("", False)
    assert positions_in_zone([row.position]) == {}


def test_a_preset_level_goes_before_the_default(engineer):
    row = ReadingFactory(value=3.0)
    position = row.position
    assert not readings_latest([position])[0].is_beyond
    warning_level_set(
        by=engineer,
        position=position,
        quantity="vibration",
        warn_below=None,
        warn_above=2.0,
    )
    judged = readings_latest([position])[0]
    assert judged.is_beyond
    assert "preset" in judged.level.source
    warning_level_set(
        by=engineer,
        position=position,
        quantity="vibration",
        warn_below=None,
        warn_above=None,
    )
    assert not WarningLevel.objects.exists()
    assert WarningLevel.history.filter(history_type="-").exists()


def test_a_planner_presets_no_level(planner):
    with pytest.raises(PermissionDenied):
        warning_level_set(
            by=planner,
            position=PositionFactory(),
            quantity="flow",
            warn_below=1.0,
            warn_above=None,
        )


def test_more_positions_need_no_more_queries(db):
    positions = [ReadingFactory().position for _ in range(2)]
    with CaptureQueriesContext(connection) as few:
        readings_latest(positions)
    positions += [ReadingFactory().position for _ in range(6)]
    with CaptureQueriesContext(connection) as many:
        readings_latest(positions)
    assert len(many) == len(few)
