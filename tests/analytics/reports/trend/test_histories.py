"""From positions and repairs to histories by time on record."""

from datetime import date

import pytest

from analytics.reports.trend.histories import histories_load, position_row
from analytics.reports.trend.question import Counted, TrendClock
from records.choices import Category
from tests.analytics.trend_plant import AS_OF, BEGAN, DAY, question, repaired
from tests.factories.plant import AreaFactory, PositionFactory, SiteFactory
from tests.factories.records import HourReadingFactory, RepairFactory

pytestmark = pytest.mark.django_db


def loaded(user, **how):
    return histories_load(question(user, **how))


def test_days_run_from_the_day_in_service(engineer):
    repaired([10, 40])
    found = loaded(engineer)
    assert [list(ages) for ages in found.ages()] == [[10, 40]]
    assert found.units["length"].tolist() == [1096]
    assert found.exposure == pytest.approx(1096 / 30.4375)


def test_days_run_from_the_start_of_records_where_that_is_later(engineer):
    repaired([10, 400], records_from=date(2021, 1, 1))
    found = loaded(engineer)
    assert [list(ages) for ages in found.ages()] == [[34]]
    assert found.units["length"].tolist() == [730]
    assert "1 counted repair left out: reported on a day" in found.notes[0]


def test_a_position_out_of_service_is_watched_until_then(engineer):
    repaired([10], out_of_service_on=date(2020, 4, 10))
    assert loaded(engineer).units["length"].tolist() == [100]


def test_what_is_reported_on_the_first_day_lies_within_the_watch(engineer):
    repaired([0])
    assert list(loaded(engineer).ages()[0]) == [0.5]


def test_without_any_known_beginning_a_position_is_left_out_and_said(engineer):
    repaired([10], in_service_on=None)
    kept = repaired([20])
    found = loaded(engineer)
    assert found.units["position"].tolist() == [kept.pk]
    assert [list(ages) for ages in found.ages()] == [[20]]
    assert "1 position left out: neither a day in service" in " ".join(found.notes)


def test_a_position_that_goes_into_service_later_takes_no_part(engineer):
    PositionFactory(in_service_on=date(2023, 5, 1))
    assert len(loaded(engineer).units) == 0


def test_failures_alone_can_be_counted(engineer):
    position = repaired([10, 40])
    RepairFactory(
        position=position, reported_at=BEGAN + 70 * DAY, category=Category.PREVENTIVE
    )
    assert len(loaded(engineer).events) == 3
    assert len(loaded(engineer, counted=Counted.FAILURES).events) == 2


def test_rework_joins_the_event_it_reworks_and_is_counted(engineer):
    site = SiteFactory(rework_window_days=20)
    repaired([10, 25, 60], area=AreaFactory(site=site))
    found = loaded(engineer, merges_rework=True)
    assert [list(ages) for ages in found.ages()] == [[10, 60]]
    assert "1 rework merged into the event that it reworked." in found.notes


def test_running_hours_come_from_the_meter_between_its_readings(engineer):
    position = repaired([10, 40, 400])
    HourReadingFactory(position=position, read_at=BEGAN + 20 * DAY, meter_hours=500)
    HourReadingFactory(
        position=position, read_at=BEGAN + 120 * DAY, meter_hours=500 + 600
    )
    found = loaded(engineer, clock=TrendClock.HOURS)
    assert found.units["length"].tolist() == pytest.approx([600])
    # Half a day after day 40: 20.5 days at a quarter of the time.
    assert list(found.ages()[0]) == pytest.approx([20.5 * 6])
    assert "2 events left out: before the first or after the last" in " ".join(
        found.notes
    )


def test_positions_without_a_meter_take_no_part_in_hours(engineer):
    repaired([10])
    found = loaded(engineer, clock=TrendClock.HOURS)
    assert len(found.units) == len(found.events) == 0
    assert "1 position left out: running hours are not measured" in found.notes[0]


def test_hours_that_rest_on_no_meter_leave_a_position_out(engineer):
    position = repaired([10])
    for day, hours, new in ((0, 0, False), (50, 1_000, False), (100, 5, True)):
        HourReadingFactory(
            position=position,
            read_at=BEGAN + day * DAY,
            meter_hours=hours,
            is_new_meter=new,
        )
    assert len(loaded(engineer, clock=TrendClock.HOURS).units) == 0


def test_unknown_beginning_and_meter_go_together(engineer):
    position = repaired([10], in_service_on=None)
    for day, hours in ((0, 0), (50, 1_000)):
        HourReadingFactory(
            position=position, read_at=BEGAN + day * DAY, meter_hours=hours
        )
    found = loaded(engineer, clock=TrendClock.HOURS)
    assert found.units["length"].tolist() == pytest.approx([1_000])


def test_chosen_positions_keep_their_own_events(engineer):
    repaired([10], tag="A")
    other = repaired([20, 30], tag="B")
    found = loaded(engineer)
    row = position_row(found, other.pk)
    kept = found.chosen(found.units["position"].to_numpy() == other.pk)
    assert row == 1
    assert [list(ages) for ages in kept.ages()] == [[20, 30]]
    assert position_row(kept, -1) == -1


def test_the_day_asked_for_is_the_last_of_the_watch(engineer):
    repaired([10, 1095])
    (history,) = loaded(engineer, end=AS_OF).histories()
    assert (list(history.events), history.end) == ([10, 1095], 1096)
    (shorter,) = loaded(engineer, end=date(2022, 12, 30)).histories()
    assert (list(shorter.events), shorter.end) == ([10], 1095)
