"""Zones by ISO 10816-7, whose limits are from memory."""

import pytest

from plant.ratings import (
    VIBRATION_LIMITS,
    RatingError,
    Status,
    VibrationZone,
    sine_rms_mm_s,
    vibration_limits,
    vibration_zone,
)

PUMPS = [("I", 75), ("I", 250), ("II", 75), ("II", 250)]


@pytest.mark.parametrize(
    ("velocity_mm_s", "zones"), [(3.3, "BABA"), (5.5, "CCCB"), (9.0, "DDDC")]
)
def test_the_zone_depends_on_category_and_power(velocity_mm_s, zones):
    found = [vibration_zone(velocity_mm_s, *pump).zone for pump in PUMPS]
    assert "".join(found) == zones


@pytest.mark.parametrize(
    ("velocity_mm_s", "zone"),
    [
        (0, "A"),
        (2.5, "A"),
        (2.51, "B"),
        (4.0, "B"),
        (4.01, "C"),
        (6.6, "C"),
        (6.7, "D"),
    ],
)
def test_a_reading_on_a_limit_stays_in_the_better_zone(velocity_mm_s, zone):
    assert vibration_zone(velocity_mm_s, "I", 75).zone == zone


def test_200_kilowatts_still_count_as_the_smaller_size():
    assert vibration_limits("II", 200) == vibration_limits("II", 75)
    assert vibration_limits("II", 201) == vibration_limits("II", 250)


def test_the_result_says_what_the_zone_means_and_where_the_limits_come_from():
    found = vibration_zone(7.0, "I", 75)
    assert found.zone == VibrationZone.D
    assert found.meaning == "damage is likely"
    assert found.velocity_mm_s == 7.0
    assert (found.source, found.status) == ("ISO 10816-7:2009", Status.MEMORY)


@pytest.mark.parametrize("limits", VIBRATION_LIMITS.values())
def test_alarm_and_trip_are_a_quarter_above_their_limits(limits):
    assert limits.alarm_mm_s == pytest.approx(1.25 * limits.b_c_mm_s, abs=0.051)
    assert limits.trip_mm_s == pytest.approx(1.25 * limits.c_d_mm_s, abs=0.051)


@pytest.mark.parametrize(
    ("reading", "refusal"),
    [
        ((-0.1, "I", 75), "must not be below zero"),
        ((None, "I", 75), "The vibration velocity must be a number"),
        ((3.0, "III", 75), "category is I or II, not 'III'"),
        ((3.0, "I", 0), "The power must be above zero"),
        ((3.0, "I", 1), "holds for pumps above 1 kW, not 1"),
    ],
)
def test_a_reading_without_a_meaning_is_refused(reading, refusal):
    with pytest.raises(RatingError, match=refusal):
        vibration_zone(*reading)


def test_a_sine_of_a_fifth_of_an_inch_a_second():
    found = sine_rms_mm_s(0.2)
    assert round(found.value, 3) == 3.592
    assert found.status == Status.DERIVED


def test_a_sine_needs_a_peak():
    with pytest.raises(RatingError, match="The peak velocity must be above zero"):
        sine_rms_mm_s(0)
