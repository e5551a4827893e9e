"""Mean time between repairs: counted by hand, then through the report."""

from datetime import UTC, date, datetime

import pytest

from analytics.exposure import Window, window_of_months
from analytics.rates import mean_time
from analytics.reports.mtbr.report import Grouping, mtbr_report
from analytics.scope import Scope
from plant.choices import WhyRemoved
from records.choices import Activity, Category, Item, RepairState
from records.models import CountingRule
from tests.factories.plant import (
    AreaFactory,
    DutyPeriodFactory,
    FittedLifeFactory,
    PlacementFactory,
    PositionFactory,
    PumpFactory,
    SiteFactory,
    UserFactory,
)
from tests.factories.records import RepairFactory

FOUR_YEARS = Window(date(2021, 1, 1), date(2024, 12, 31))


def scope_of(user, window=FOUR_YEARS, **more):
    return Scope(user=user, window=window, **more)


def total(user, window=FOUR_YEARS, grouping=Grouping.FLEET, **more):
    return mtbr_report(scope_of(user, window, **more), grouping).total


def reported(day):
    return datetime.combine(day, datetime.min.time(), UTC)


def test_1200_pumps_with_156_repairs_in_12_months_have_92_months():
    # trade.md section 9 row 1, as printed: 92.308 months.
    rate = mean_time(1200 * 12.0, 156, 0.90)
    assert rate.value == pytest.approx(92.308, abs=0.0005)


@pytest.mark.parametrize(
    ("pumps", "repairs", "months"), [(420, 140, 36), (850, 170, 60)]
)
def test_round_examples_come_out_round(pumps, repairs, months):
    # trade.md section 9 row 2.
    assert mean_time(pumps * 12.0, repairs, 0.90).value == pytest.approx(months)


def test_limits_of_140_repairs_in_420_pump_years_are_the_printed_ones():
    # trade.md section 9 row 3: 31.288 to 41.611 months, time ended.
    rate = mean_time(420 * 12.0, 140, 0.90)
    assert rate.low == pytest.approx(31.288, abs=0.0005)
    assert rate.high == pytest.approx(41.611, abs=0.0005)


def test_without_repairs_there_is_a_lower_bound_and_no_value():
    rate = mean_time(120.0, 0, 0.90)
    assert (rate.value, rate.high) == (None, None)
    # One-sided 90 %: 120 / -ln(0.1).
    assert rate.low == pytest.approx(52.115, abs=0.0005)


@pytest.mark.django_db
def test_the_report_divides_position_months_by_counted_repairs(engineer):
    positions = PositionFactory.create_batch(5)
    for position in positions[:2]:
        RepairFactory.create_batch(4, position=position)
    # 5 positions x 48 months / 8 repairs.
    assert total(engineer).calendar.value == pytest.approx(30.0)


@pytest.mark.django_db
def test_a_pump_in_the_store_adds_no_exposure(engineer):
    PositionFactory()
    PumpFactory.create_batch(3)
    assert total(engineer).calendar.exposure == pytest.approx(48.0)


@pytest.mark.django_db
@pytest.mark.parametrize(
    "left_out",
    [
        {"activity": Activity.ADJUST},
        {"activity": Activity.SERVICE},
        {"item": Item.DRIVER},
        {"item": Item.OIL},
        {
            "state": RepairState.VOID,
            "void_reason": "entered twice",
            "signed_at": datetime(2024, 3, 2, tzinfo=UTC),
        },
    ],
)
def test_what_the_rule_excludes_is_not_counted(engineer, left_out):
    position = PositionFactory()
    RepairFactory(position=position)
    RepairFactory(position=position, **left_out)
    assert total(engineer).calendar.events == 1


@pytest.mark.django_db
def test_shop_work_is_not_counted_again(engineer):
    stoppage = RepairFactory()
    RepairFactory(position=stoppage.position, shop_work_of=stoppage)
    assert total(engineer).calendar.events == 1


@pytest.mark.django_db
def test_the_rule_of_a_site_decides_by_itself(engineer):
    preventive = RepairFactory(category=Category.PREVENTIVE)
    CountingRule.objects.create(
        site=preventive.site, version=1, repair_categories=[str(Category.CORRECTIVE)]
    )
    RepairFactory(category=Category.PREVENTIVE)
    assert total(engineer).calendar.events == 1


@pytest.mark.django_db
def test_preventive_work_is_a_repair_and_no_failure(engineer):
    position = PositionFactory()
    RepairFactory(position=position, category=Category.PREVENTIVE)
    RepairFactory(position=position, category=Category.CONDITION)
    found = total(engineer)
    assert (found.calendar.events, found.running.events) == (2, 1)


@pytest.mark.django_db
def test_open_repairs_count_and_are_told(engineer):
    position = PositionFactory()
    signed = datetime(2024, 3, 5, tzinfo=UTC)
    RepairFactory(position=position, state=RepairState.SIGNED, signed_at=signed)
    RepairFactory(position=position)
    found = total(engineer)
    assert (found.calendar.events, found.open_repairs) == (2, 1)


@pytest.mark.django_db
def test_a_repair_before_the_records_began_is_left_out_and_told(engineer):
    position = PositionFactory(records_from=date(2023, 1, 1))
    RepairFactory(position=position, reported_at=reported(date(2022, 12, 31)))
    RepairFactory(position=position, reported_at=reported(date(2023, 1, 1)))
    report = mtbr_report(scope_of(engineer), Grouping.FLEET)
    assert report.total.calendar.events == 1
    assert report.total.calendar.exposure == pytest.approx(731 / 30.4375)
    assert report.notes[0].startswith("1 counted repair left out")


@pytest.mark.django_db
def test_the_day_of_a_repair_is_that_of_its_site(engineer):
    site = SiteFactory(time_zone="Pacific/Auckland")
    position = PositionFactory(area=AreaFactory(site=site))
    # Still 31 December in UTC, already New Year's Day at the site.
    RepairFactory(position=position, reported_at=datetime(2024, 12, 31, 20, tzinfo=UTC))
    assert total(engineer).calendar.events == 0
    next_year = Window(date(2025, 1, 1), date(2025, 12, 31))
    assert total(engineer, next_year).calendar.events == 1


@pytest.mark.django_db
def test_mtbf_rests_on_running_hours_and_says_when_they_are_estimated(engineer):
    position = PositionFactory()
    DutyPeriodFactory(position=position, running_share=0.5)
    RepairFactory.create_batch(2, position=position)
    found = total(engineer)
    assert found.running.value == pytest.approx(1461 * 24 * 0.5 / 2)
    assert found.is_estimated


@pytest.mark.django_db
def test_groups_add_up_to_the_total(engineer):
    site = SiteFactory()
    for name, size in (("North", 2), ("South", 3)):
        area = AreaFactory(site=site, name=name)
        for position in PositionFactory.create_batch(size, area=area):
            RepairFactory.create_batch(size, position=position)
    report = mtbr_report(scope_of(engineer), Grouping.AREA)
    found = {line.label: (line.units, line.calendar.events) for line in report.lines}
    assert found == {"North": (2, 4), "South": (3, 9)}
    assert report.total.calendar.events == 13


@pytest.mark.django_db
def test_a_user_of_one_site_sees_nothing_of_another():
    here, there = PositionFactory(), PositionFactory()
    RepairFactory(position=here)
    RepairFactory.create_batch(3, position=there)
    user = UserFactory(sees_all_sites=False)
    user.sites.add(here.site)
    found = total(user)
    assert (found.units, found.calendar.events) == (1, 1)


@pytest.mark.django_db
def test_the_rolling_line_has_36_points_and_ends_with_the_window(engineer):
    position = PositionFactory()
    RepairFactory(position=position, reported_at=reported(date(2024, 7, 1)))
    report = mtbr_report(
        scope_of(engineer, window_of_months(date(2024, 12, 31), 12)), Grouping.FLEET
    )
    assert len(report.rolling) == 36
    assert report.rolling[-1].rate == report.total.calendar
    assert report.rolling[0].rate.events == 0


def life_at(position, *, begun, ended=None, **more):
    pump = more.pop("pump", None) or PumpFactory(site=position.site)
    return FittedLifeFactory(
        pump=pump, fitted_at=reported(begun), ended_at=ended and reported(ended),
        removed_at=ended and reported(ended), **more,
    )  # fmt: skip


@pytest.mark.django_db
def test_component_failures_count_over_component_time_and_practice_does_not(engineer):
    placement = PlacementFactory(placed_at=reported(date(2021, 1, 1)))
    common = {"pump": placement.pump, "piping_plan": "32"}
    life_at(
        placement.position,
        begun=date(2021, 1, 1),
        ended=date(2023, 1, 1),
        defect_detected=True,
        **common,
    )
    life_at(
        placement.position,
        begun=date(2023, 1, 1),
        ended=date(2024, 1, 1),
        defect_detected=False,
        why_removed=WhyRemoved.PRACTICE,
        **common,
    )
    life_at(placement.position, begun=date(2024, 1, 1), **common)
    report = mtbr_report(scope_of(engineer), Grouping.PLAN)
    (line,) = report.lines
    assert line.label == "plan 32"
    assert (line.calendar.exposure, line.calendar.events) == (pytest.approx(48.0), 1)


@pytest.mark.django_db
def test_a_seal_in_a_pump_in_the_store_adds_no_component_time(engineer):
    placement = PlacementFactory(
        placed_at=reported(date(2021, 1, 1)), removed_at=reported(date(2022, 1, 1))
    )
    life_at(placement.position, begun=date(2021, 1, 1), pump=placement.pump)
    found = total(engineer, grouping=Grouping.PLAN)
    assert found.calendar.exposure == pytest.approx(365 / 30.4375)


@pytest.mark.django_db
def test_without_any_component_the_report_is_empty_and_stands(engineer):
    report = mtbr_report(scope_of(engineer), Grouping.DESIGNATION)
    assert report.lines == []
    assert report.total.calendar.value is None
