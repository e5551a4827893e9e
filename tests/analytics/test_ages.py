"""Each life has its hand-computed age and entry age, in days, hours or starts."""

from datetime import date
from functools import partial

import pytest

from analytics.ages import Clock
from analytics.samples import LeftOut, Status
from plant.choices import (
    Beginning,
    ConditionFitted,
)
from tests.analytics.judged_lives import (
    DAY,
    FAILED,
    FITTED,
    METER,
    judge,
    life,
    only,
)
from tests.factories.plant import (
    DutyPeriodFactory,
    PlacementFactory,
    PositionFactory,
    PumpFactory,
    SiteFactory,
)
from tests.factories.records import HourReadingFactory


@pytest.fixture
def judged(engineer):
    """Judge all lives on record; returns the sample."""
    return partial(judge, engineer)


def test_age_runs_from_first_start_to_failure_as_reported(judged):
    life(
        100,
        started_at=FITTED + 10 * DAY,
        ended_at=FITTED + 90 * DAY,
        **FAILED,
    )
    row = only(judged())
    assert (row.status, row.age, row.entry_age) == (Status.FAILED, 80, 0)


def test_fitting_and_removal_stand_for_start_and_failure(judged):
    life(100, **FAILED)
    assert only(judged()).age == 100


def test_a_part_in_a_retired_pump_is_cut_at_its_retirement(judged):
    life(pump=PumpFactory(retired_on=date(2021, 7, 1)))
    assert only(judged()).age == 181


@pytest.mark.parametrize(
    ("own", "there", "site", "entry"),
    [
        (None, None, date(2021, 1, 31), 30),
        (None, date(2021, 2, 10), date(2021, 1, 31), 40),
        (date(2021, 2, 20), date(2021, 2, 10), date(2021, 1, 31), 50),
        (None, None, None, 0),
        (None, None, date(2020, 1, 1), 0),
    ],
)
def test_what_began_before_the_records_enters_at_its_age_then(
    judged, own, there, site, entry
):
    works = SiteFactory(records_from=site)
    life(
        100,
        pump=PumpFactory(site=works, records_from=own),
        position=PositionFactory(area__site=works, records_from=there),
        **FAILED,
    )
    row = only(judged())
    assert (row.age, row.entry_age) == (100, entry)


def test_the_records_begin_at_midnight_of_the_site(judged):
    works = SiteFactory(records_from=date(2021, 1, 31), time_zone="Asia/Tokyo")
    life(100, pump=PumpFactory(site=works), **FAILED)
    assert only(judged()).entry_age == pytest.approx(30 - 9 / 24)


def test_a_known_age_is_where_the_life_enters(judged):
    life(100, beginning=Beginning.AGE_KNOWN, age_at_entry_days=250, **FAILED)
    row = only(judged())
    assert (row.age, row.entry_age) == (350, 250)


def test_a_known_age_grows_until_the_records_begin(judged):
    works = SiteFactory(records_from=date(2021, 1, 31))
    life(
        100,
        pump=PumpFactory(site=works),
        beginning=Beginning.AGE_KNOWN,
        age_at_entry_days=250,
        **FAILED,
    )
    row = only(judged())
    assert (row.age, row.entry_age) == (350, 280)


def test_a_part_refitted_unopened_goes_on_at_its_age(judged):
    life(
        100,
        condition_fitted=ConditionFitted.REFITTED,
        age_at_entry_days=200,
        **FAILED,
    )
    row = only(judged())
    assert (row.age, row.entry_age) == (300, 200)


def test_time_of_the_pump_in_the_store_is_no_age(judged):
    placement = PlacementFactory(placed_at=FITTED, removed_at=FITTED + 40 * DAY)
    PlacementFactory(
        pump=placement.pump, position=placement.position, placed_at=FITTED + 60 * DAY
    )
    life(100, pump=placement.pump, **FAILED)
    assert only(judged()).age == 80


def test_hours_come_from_the_meter_at_fitting_and_removal(judged):
    life(100, **METER, **FAILED)
    row = only(judged(Clock.HOURS))
    assert (row.age, row.estimated) == (2_400, False)


def test_entry_age_in_hours_is_prorated_by_calendar(judged):
    works = SiteFactory(records_from=date(2021, 1, 26))
    life(100, pump=PumpFactory(site=works), **METER, **FAILED)
    row = only(judged(Clock.HOURS))
    assert (row.age, row.entry_age) == (2_400, pytest.approx(600))


def test_earlier_hours_are_added_to_those_of_the_meter(judged):
    life(
        100,
        beginning=Beginning.AGE_KNOWN,
        age_at_entry_hours=5_000,
        **METER,
        **FAILED,
    )
    row = only(judged(Clock.HOURS))
    assert (row.age, row.entry_age, row.estimated) == (7_400, 5_000, False)


def placed_life(days=None, share=0.5, **facts):
    """A life in a pump that stood at one position all the time."""
    duty = DutyPeriodFactory(running_share=share)
    placement = PlacementFactory(position=duty.position)
    life(days, pump=placement.pump, position=placement.position, **facts)
    return placement.position


def test_without_a_meter_hours_are_calendar_times_running_share(judged):
    placed_life(100, share=0.5, **FAILED)
    row = only(judged(Clock.HOURS))
    assert (row.age, row.estimated) == (pytest.approx(1_200), True)


def test_hours_of_a_life_still_in_come_from_readings(judged):
    position = placed_life(share=0.5)
    for days, meter in ((0, 500.0), (100, 1_700.0), (365, 4_880.0)):
        HourReadingFactory(
            position=position, read_at=FITTED + days * DAY, meter_hours=meter
        )
    row = only(judged(Clock.HOURS))
    assert (row.age, row.estimated) == (pytest.approx(4_380), False)


def test_a_change_of_meter_does_not_lose_the_hours_on_either_side(judged):
    position = placed_life(100, share=0.5, **FAILED)
    for days, meter, is_new in (
        (0, 500.0, False),
        (40, 900.0, False),
        (40.001, 0.0, True),
        (100, 700.0, False),
    ):
        HourReadingFactory(
            position=position,
            read_at=FITTED + days * DAY,
            meter_hours=meter,
            is_new_meter=is_new,
        )
    row = only(judged(Clock.HOURS))
    assert row.age == pytest.approx(1_100, abs=0.02)
    assert not row.estimated


def test_each_life_has_the_hours_of_its_own_position(judged):
    """Register order, order of the lives and order of the keys all differ."""
    later, first = (
        PlacementFactory(position__tag=tag, position__site__name=site)
        for tag, site in (("P-9", "Z works"), ("P-1", "A works"))
    )
    for placement, pace in ((later, 10.0), (first, 20.0)):
        for days in (0, 50, 100, 150):
            HourReadingFactory(
                position=placement.position,
                read_at=FITTED + days * DAY,
                meter_hours=days * pace,
            )
    for placement in (first, later):
        life(100, pump=placement.pump, position=placement.position, **FAILED)
    rows = judged(Clock.HOURS).rows.set_index("tag")
    assert rows.loc["P-1", "age"] == pytest.approx(2_000)
    assert rows.loc["P-9", "age"] == pytest.approx(1_000)
    assert not rows["estimated"].any()


def test_measured_hours_only_cuts_lives_still_in_at_the_last_reading(judged):
    position = placed_life(share=0.5)
    for days, meter in ((0, 500.0), (100, 1_700.0)):
        HourReadingFactory(
            position=position, read_at=FITTED + days * DAY, meter_hours=meter
        )
    assert only(judged(Clock.HOURS)).age == pytest.approx(1_200 + 265 * 12)
    row = only(judged(Clock.HOURS, measured_only=True))
    assert (row.status, row.age) == (Status.SUSPENDED, pytest.approx(1_200))


def test_measured_hours_only_leaves_out_what_is_estimated(judged):
    placed_life(100, **FAILED)
    row = only(judged(Clock.HOURS, measured_only=True))
    assert row.reason == LeftOut.ESTIMATED


def test_without_place_or_share_the_hours_are_not_known(judged):
    life(100, **FAILED)
    assert only(judged(Clock.HOURS)).reason == LeftOut.CLOCK_UNKNOWN


def test_starts_are_counted_where_both_were_written_down(judged):
    life(100, fitted_starts=20, removed_starts=95, **FAILED)
    life()
    sample = judged(Clock.STARTS)
    assert list(sample.used["age"]) == [75]
    assert list(sample.rows["reason"]) == ["", LeftOut.CLOCK_UNKNOWN]
