"""Running hours of a position inside a span: meter first, else running share."""

from datetime import UTC, date, datetime

import numpy as np
import pandas as pd
import pytest

from plant.models import Position
from records.selectors.hours import running_hours
from tests.factories.plant import DutyPeriodFactory, PositionFactory
from tests.factories.records import HourReadingFactory

pytestmark = pytest.mark.django_db
HALF_YEAR = (datetime(2024, 1, 1, tzinfo=UTC), datetime(2024, 7, 1, tzinfo=UTC))
HOURS_OF_HALF_YEAR = 182 * 24


def hours_of(*positions, span=HALF_YEAR):
    spans = pd.DataFrame(
        {"position": [p.pk for p in positions], "zone": ["UTC"] * len(positions)}
    )
    start, end = (np.full(len(positions), moment.timestamp()) for moment in span)
    return running_hours(Position.objects.all(), spans, start, end)


def test_without_readings_hours_are_calendar_time_times_running_share():
    position = PositionFactory()
    DutyPeriodFactory(position=position, running_share=0.25)
    found = hours_of(position)
    assert found.hours.tolist() == [HOURS_OF_HALF_YEAR * 0.25]
    assert found.estimated.tolist() == [HOURS_OF_HALF_YEAR * 0.25]


def test_a_duty_from_before_1970_is_that_of_its_own_position():
    first, second = PositionFactory(), PositionFactory()
    long_ago = date(1969, 6, 1)
    DutyPeriodFactory(position=first, starts_on=long_ago, running_share=0.25)
    DutyPeriodFactory(position=second, starts_on=long_ago, running_share=0.5)
    found = hours_of(first, second)
    expected = [HOURS_OF_HALF_YEAR * 0.25, HOURS_OF_HALF_YEAR * 0.5]
    assert found.hours == pytest.approx(expected)


def test_a_new_duty_period_changes_the_share_from_its_day_on():
    position = PositionFactory()
    DutyPeriodFactory(position=position, starts_on=date(2023, 1, 1), running_share=1)
    DutyPeriodFactory(position=position, starts_on=date(2024, 4, 1), running_share=0.5)
    # January to March 2024 have 91 days, April to June as well.
    assert hours_of(position).hours.tolist() == [91 * 24 + 91 * 24 * 0.5]


def test_before_its_first_duty_period_a_position_has_the_share_of_that_period():
    other = PositionFactory()
    DutyPeriodFactory(position=other, starts_on=date(2020, 1, 1), running_share=1)
    position = PositionFactory()
    DutyPeriodFactory(position=position, starts_on=date(2024, 6, 1), running_share=0.5)
    assert hours_of(other, position).hours.tolist() == [
        HOURS_OF_HALF_YEAR,
        HOURS_OF_HALF_YEAR * 0.5,
    ]


def test_without_a_running_share_it_runs_all_the_time_and_that_is_told():
    found = hours_of(PositionFactory())
    assert found.hours.tolist() == [HOURS_OF_HALF_YEAR]
    assert found.assumed_full == 1


def test_readings_that_span_the_window_are_interpolated_and_nothing_is_estimated():
    position = PositionFactory()
    HourReadingFactory(
        position=position, read_at=datetime(2023, 1, 1, tzinfo=UTC), meter_hours=0
    )
    HourReadingFactory(
        position=position, read_at=datetime(2025, 1, 1, tzinfo=UTC), meter_hours=7310
    )
    found = hours_of(position)
    # 7,310 hours in 731 days are 10 hours a day.
    assert found.hours == pytest.approx([1820])
    assert found.estimated.tolist() == [0]


def test_time_outside_the_readings_is_estimated_beside_the_measured_part():
    position = PositionFactory()
    DutyPeriodFactory(position=position, running_share=0.5)
    HourReadingFactory(
        position=position, read_at=datetime(2024, 1, 1, tzinfo=UTC), meter_hours=100
    )
    HourReadingFactory(
        position=position, read_at=datetime(2024, 4, 1, tzinfo=UTC), meter_hours=1100
    )
    found = hours_of(position)
    assert found.hours == pytest.approx([1000 + 91 * 12])
    assert found.estimated == pytest.approx([91 * 12])


def test_the_stretch_across_a_meter_change_is_estimated():
    position = PositionFactory()
    DutyPeriodFactory(position=position, running_share=1)
    for moment, meter, is_new in (
        (datetime(2024, 1, 1, tzinfo=UTC), 50_000, False),
        (datetime(2024, 2, 1, tzinfo=UTC), 50_310, False),
        (datetime(2024, 2, 11, tzinfo=UTC), 0, True),
        (datetime(2024, 7, 1, tzinfo=UTC), 1410, False),
    ):
        HourReadingFactory(
            position=position, read_at=moment, meter_hours=meter, is_new_meter=is_new
        )
    found = hours_of(position)
    assert found.estimated == pytest.approx([240])
    assert found.hours == pytest.approx([310 + 240 + 1410])


@pytest.mark.parametrize("meter", [90, 9000])
def test_a_reading_that_falls_or_outruns_the_clock_is_not_believed(meter):
    position = PositionFactory()
    DutyPeriodFactory(position=position, running_share=0.5)
    HourReadingFactory(
        position=position, read_at=datetime(2024, 1, 1, tzinfo=UTC), meter_hours=100
    )
    HourReadingFactory(
        position=position, read_at=datetime(2024, 7, 1, tzinfo=UTC), meter_hours=meter
    )
    assert hours_of(position).hours == pytest.approx([HOURS_OF_HALF_YEAR * 0.5])


def test_readings_of_one_position_never_reach_another():
    metered, other = PositionFactory(), PositionFactory()
    DutyPeriodFactory(position=other, running_share=0.5)
    for moment, meter in zip(HALF_YEAR, (0, 1000), strict=True):
        HourReadingFactory(position=metered, read_at=moment, meter_hours=meter)
    assert hours_of(other, metered).hours == pytest.approx(
        [HOURS_OF_HALF_YEAR * 0.5, 1000]
    )


def test_positions_may_come_in_any_order_and_more_than_once():
    positions = PositionFactory.create_batch(3)
    for number, position in enumerate(positions, start=1):
        for moment, meter in zip(HALF_YEAR, (0, 1000 * number), strict=True):
            HourReadingFactory(position=position, read_at=moment, meter_hours=meter)
    first, second, third = positions
    found = hours_of(third, first, second, third)
    assert found.hours == pytest.approx([3000, 1000, 2000, 3000])
    assert found.estimated == pytest.approx([0, 0, 0, 0])


@pytest.mark.parametrize("seed", range(5))
def test_the_answer_is_that_of_a_plain_walk_through_the_hours(seed):
    rng = np.random.default_rng(seed)
    positions = PositionFactory.create_batch(4)
    rng.shuffle(positions)
    rates = {}
    start, end = (moment.timestamp() for moment in HALF_YEAR)
    days = np.arange(start, end, 86400.0)
    for position in positions:
        share = float(rng.uniform(0.2, 1.0))
        DutyPeriodFactory(position=position, running_share=share)
        pace = np.full(len(days), share)
        picked = np.sort(rng.choice(len(days), size=rng.integers(0, 6), replace=False))
        meter = 0.0
        before = None
        for day in picked.tolist():
            if before is not None:
                hourly = float(rng.uniform(0, 1))
                meter += hourly * (day - before) * 24
                pace[before:day] = hourly
            before = day
            HourReadingFactory(
                position=position,
                read_at=datetime.fromtimestamp(days[day], UTC),
                meter_hours=meter,
            )
        rates[position.pk] = pace
    found = hours_of(*positions)
    assert found.hours == pytest.approx([rates[p.pk].sum() * 24 for p in positions])


def test_an_empty_span_has_no_hours():
    position = PositionFactory()
    assert hours_of(position, span=HALF_YEAR[::-1]).hours.tolist() == [0]


@pytest.mark.parametrize("size", [1, 20])
def test_two_queries_answer_for_any_number_of_positions(
    size, django_assert_num_queries
):
    positions = PositionFactory.create_batch(size)
    with django_assert_num_queries(2):
        hours_of(*positions)
