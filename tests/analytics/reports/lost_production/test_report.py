"""What stoppages lost: formulas in words, sums, and what an entered figure does."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest
from django.core.exceptions import PermissionDenied

from analytics.exposure import Window
from analytics.reports.lost_production.report import lost_production_worked_out
from analytics.scope import Scope
from plant.choices import Sparing
from records.choices import CostStatus, RepairState
from records.models import Repair
from tests.analytics.reports.lost_production.plant import (
    BEGIN,
    MARCH,
    NOW,
    YEAR,
    alone,
    at,
    group_of,
    line,
    report_of,
    said,
    stop,
)
from tests.factories.plant import AreaFactory, SiteFactory, UserFactory
from tests.factories.records import RepairFactory

pytestmark = pytest.mark.django_db


def amounts(report):
    return report.worked_out.amounts


def test_the_formula_is_hours_less_buffer_times_cost_times_share(manager):
    stop(alone(buffer_hours=4, output_share_lost=0.6), 0, 31.5, "R-1")
    report = report_of(manager)
    assert said(report) == {
        "R-1": "31.5 h − 4 h buffer = 27.5 h × EUR 350.00/h × 60 % = EUR 5,775.00"
    }
    assert amounts(report) == {"EUR": Decimal("5775.00")}
    assert report.with_a_loss == 1


def test_a_spare_that_ran_is_named_and_nothing_is_lost(manager):
    first, _second = group_of(2)
    stop(first, 0, 30, "R-1")
    report = report_of(manager)
    assert said(report) == {"R-1": "none: P-1B ran"}
    assert amounts(report) == {}
    assert report.counted_as("covered") == 1


def test_of_several_spares_none_is_said_to_have_run(manager):
    first, *_ = group_of(3)
    stop(first, 0, 30, "R-1")
    assert said(report_of(manager)) == {
        "R-1": "none: P-1B and P-1C stood ready, 1 needed"
    }


def test_when_both_are_down_the_one_that_went_down_last_bears_it(manager):
    first, second = group_of(2)
    stop(first, 0, 50, "R-1")
    stop(second, 30, 80, "R-2")
    report = report_of(manager)
    assert said(report) == {
        "R-1": "none here: borne by P-1B (R-2)",
        "R-2": "50 h − 30 h covered by P-1A = 20 h × EUR 100.00/h = EUR 2,000.00",
    }
    assert amounts(report) == {"EUR": Decimal("2000.00")}


def test_half_is_lost_while_one_of_two_needed_is_missing(manager):
    first, second = group_of(2, needed=2)
    stop(first, 0, 10, "R-1")
    stop(second, 6, 14, "R-2")
    report = report_of(manager)
    assert said(report)["R-1"] == (
        "10 h − 4 h borne by P-1B (R-2) = 6 h × 1 of 2 missing × EUR 100.00/h"
        " = EUR 300.00"
    )
    assert said(report)["R-2"] == (
        "8 h: (4 h × 1 of 2 missing + 4 h × 2 of 2 missing) × EUR 100.00/h = EUR 600.00"
    )
    assert amounts(report) == {"EUR": Decimal("900.00")}


def test_an_open_stoppage_counts_to_now_or_the_end_of_the_as_of_day(manager):
    stop(alone(), 0, None, "R-1")
    assert amounts(report_of(manager, now=at(10))) == {"EUR": Decimal("3500.00")}
    until = Window(date(2024, 3, 1), date(2024, 3, 4))
    assert amounts(report_of(manager, until)) == {"EUR": Decimal("8400.00")}


def test_what_was_not_stopped_is_void_or_shop_work_loses_nothing(manager):
    position = alone()
    RepairFactory(position=position, reported_at=BEGIN)
    signed = datetime(2024, 4, 1, tzinfo=UTC)
    void = {"state": RepairState.VOID, "void_reason": "twice", "signed_at": signed}
    stop(position, 0, 10, **void)
    parent = stop(position, 100, 101, "R-1")
    stop(position, 200, 250, shop_work_of=parent)
    report = report_of(manager)
    assert list(said(report)) == ["R-1"]
    assert amounts(report) == {"EUR": Decimal("350.00")}


def test_an_installed_spare_without_a_group_is_assumed_to_cover(manager):
    stop(alone(sparing=Sparing.INSTALLED), 0, 30, "R-1")
    report = report_of(manager)
    assert "cover is assumed" in said(report)["R-1"]
    assert amounts(report) == {}
    assert report.counted_as("assumed") == 1


def test_a_stopped_cost_of_nothing_is_a_question_and_no_loss_of_zero(manager):
    stop(alone(cost=0, buffer_hours=4), 0, 30, "R-1")
    report = report_of(manager)
    assert said(report) == {
        "R-1": "30 h − 4 h buffer = 26 h; nobody has said what a stopped hour costs"
        " here"
    }
    assert report.worked_out.unpriced == 1
    assert report.worked_out.stoppages == 0
    assert amounts(report) == {}


def test_a_stop_within_the_buffer_or_without_output_lost_is_told(manager):
    stop(alone("P-1", buffer_hours=40), 0, 30, "R-1")
    stop(alone("P-2", output_share_lost=0), 0, 30, "R-2")
    assert said(report_of(manager)) == {
        "R-1": "none: 30 h − 30 h buffer = 0 h, within the buffer",
        "R-2": "none: 30 h, but a stop here costs no output (share 0 %)",
    }


def test_a_stop_taken_from_the_report_by_an_import_is_marked(manager):
    stop(alone(), 0, 10, "R-1", is_imported=True)
    stop(alone("P-2"), 0, 10, "R-2")
    rows = report_of(manager).rows.set_index("number")
    assert rows["stop_as_reported"].to_dict() == {"R-1": True, "R-2": False}


def test_a_stoppage_over_new_year_belongs_to_each_period_by_its_hours(manager):
    position = alone(cost=100, buffer_hours=10)
    RepairFactory(
        position=position,
        reported_at=datetime(2023, 12, 31, tzinfo=UTC),
        stopped_at=datetime(2023, 12, 31, tzinfo=UTC),
        returned_at=datetime(2024, 1, 2, tzinfo=UTC),
    )
    before = Window(date(2023, 1, 1), date(2023, 12, 31))
    assert amounts(report_of(manager, before)) == {"EUR": Decimal("1400.00")}
    assert amounts(report_of(manager, YEAR)) == {"EUR": Decimal("2400.00")}


def test_days_are_those_of_the_site(manager):
    site = SiteFactory(time_zone="Asia/Tokyo", currency="JPY")
    stop(alone(cost=100, area=AreaFactory(site=site)), -12, 0)
    report = report_of(manager, Window(date(2024, 3, 4), date(2024, 3, 4)))
    # Midnight in Tokyo is nine hours before BEGIN.
    assert amounts(report) == {"JPY": Decimal("900.00")}


def test_a_buffer_used_up_before_the_period_by_another_stoppage_is_not_new(manager):
    first, second = group_of(2, needed=2, cost=100, buffer_hours=24)
    stop(first, 0, 30)
    stop(second, 28, 100)
    days = Window(date(2024, 3, 6), date(2024, 3, 6))
    # One outage since hour 0: all of the day is lost, half of the cost each hour.
    assert amounts(report_of(manager, days)) == {"EUR": Decimal("1200.00")}


def test_an_entered_figure_overrides_even_one_of_nothing(manager):
    line(stop(alone("P-1"), 0, 10), "120.00", status=CostStatus.ESTIMATE)
    line(stop(alone("P-2"), 0, 10), "0.00")
    report = report_of(manager)
    assert amounts(report) == {}
    assert [total.lost_production for total in report.entered] == [Decimal("120.00")]
    assert report.with_a_loss == 1
    assert report.rows["cents"].tolist() == [350_000, 350_000]


def test_a_figure_at_one_repair_of_an_outage_stands_for_the_whole_outage(manager):
    first, second = group_of(2)
    line(stop(first, 0, 50), "777.00")
    stop(second, 30, 80)
    stop(first, 200, 220)
    stop(second, 210, 215)
    report = report_of(manager)
    # Only the second outage, of five hours, is nobody's.
    assert amounts(report) == {"EUR": Decimal("500.00")}
    assert report.worked_out.stoppages == 1


def test_a_figure_at_shop_work_belongs_to_its_stoppage(manager):
    parent = stop(alone(), 0, 10)
    line(RepairFactory(position=parent.position, shop_work_of=parent), "90.00")
    assert amounts(report_of(manager)) == {}


def test_a_position_taken_out_of_service_loses_nothing_more(manager):
    stop(alone(cost=100, out_of_service_on=date(2024, 3, 5)), 0, None)
    assert amounts(report_of(manager)) == {"EUR": Decimal("2400.00")}


def test_spares_in_another_area_cover_and_are_not_listed(manager):
    area = AreaFactory()
    first, second = group_of(2, area=area)
    second.area = AreaFactory(site=area.site)
    second.save()
    stop(first, 0, 30, "R-1")
    stop(second, 100, 130, "R-2")
    assert said(report_of(manager, area=area)) == {"R-1": "none: P-1B ran"}


def test_currencies_of_sites_are_never_added(manager):
    stop(alone(cost=1), 0, 10)
    dollars = AreaFactory(site=SiteFactory(currency="USD"))
    stop(alone(cost=2, area=dollars), 0, 10)
    assert amounts(report_of(manager)) == {
        "EUR": Decimal("10.00"),
        "USD": Decimal("20.00"),
    }


def test_the_sum_for_the_costs_page_is_that_of_the_report(manager):
    stop(alone(), 0, 10)
    found = lost_production_worked_out(Scope(manager, MARCH), NOW)
    assert found == report_of(manager).worked_out
    assert found.stoppages == 1


def test_whoever_may_not_see_costs_gets_no_sum():
    with pytest.raises(PermissionDenied):
        lost_production_worked_out(Scope(UserFactory(role="fitter"), MARCH))


def test_stoppages_of_a_site_that_is_not_theirs_are_in_no_sum():
    stop(alone(), 0, 10)
    stranger = UserFactory(role="manager", sees_all_sites=False)
    stranger.sites.add(SiteFactory())
    assert amounts(report_of(stranger)) == {}
    assert report_of(stranger).rows.empty


def test_the_number_of_queries_does_not_grow(manager, django_assert_max_num_queries):
    for number in range(12):
        position = alone(f"P-{number}")
        line(stop(position, 0, 10 + number), "5.00")
        stop(position, 500, 510)
        stop(position, -100 * number - 40, 2)
    with django_assert_max_num_queries(11):
        report = report_of(manager)
    assert len(report.rows) == 36


def test_an_hour_is_exact_to_the_microsecond(manager):
    repair = stop(alone(cost="0.01"), 0, 0.5)
    assert amounts(report_of(manager)) == {"EUR": Decimal("0.01")}
    Repair.objects.filter(pk=repair.pk).update(
        returned_at=at(0.5) - timedelta(microseconds=1)
    )
    assert amounts(report_of(manager)) == {}
