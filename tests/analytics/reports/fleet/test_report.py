"""The Fleet page: figures of today, the lists behind them, the empty start."""

import csv
import io
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from analytics.exposure import window_of_months
from analytics.reports.fleet.page import verdict
from analytics.reports.fleet.report import fleet_report
from analytics.reports.fleet.rows import RowKind
from analytics.scope import Scope
from plant.choices import Beginning, Component, Location
from records.choices import FailureMode, Mechanism, Release, RepairState
from tests.factories.actions import ActionFactory
from tests.factories.plant import (
    AreaFactory,
    FittedLifeFactory,
    PlacementFactory,
    PositionFactory,
    SiteFactory,
    UserFactory,
)
from tests.factories.records import CostLineFactory, ReadingFactory, RepairFactory

pytestmark = pytest.mark.django_db
NOW = datetime.now(UTC)


def report_of(user):
    return fleet_report(Scope(user, window_of_months(timezone.localdate(), 12)))


def days_ago(days):
    return NOW - timedelta(days=days)


def test_positions_in_service_are_those_of_today(engineer):
    PositionFactory.create_batch(2)
    PositionFactory(out_of_service_on=date(2022, 1, 1))
    PositionFactory(in_service_on=NOW.date() + timedelta(days=40))
    report = report_of(engineer)
    assert (report.in_service, report.all_positions) == (2, 4)


def test_a_change_within_chance_is_called_so(engineer):
    position = PositionFactory()
    RepairFactory.create_batch(3, position=position, reported_at=days_ago(100))
    RepairFactory.create_batch(4, position=position, reported_at=days_ago(500))
    words = verdict(report_of(engineer))
    assert words.startswith("The change against the year before is within chance")


@pytest.mark.parametrize(
    ("now", "before", "word"), [(2, 20, "better"), (20, 2, "worse")]
)
def test_a_change_beyond_chance_says_which_way(engineer, now, before, word):
    position = PositionFactory()
    RepairFactory.create_batch(now, position=position, reported_at=days_ago(100))
    RepairFactory.create_batch(before, position=position, reported_at=days_ago(500))
    words = verdict(report_of(engineer))
    assert words.startswith(f"This year is {word} than the year before, beyond chance")


def test_years_without_repairs_are_called_so_and_never_infinitely_worse(engineer):
    position = PositionFactory()
    assert verdict(report_of(engineer)).startswith("No repair in either year")
    RepairFactory.create_batch(8, position=position, reported_at=days_ago(100))
    words = verdict(report_of(engineer))
    assert words.startswith("This year is worse than the year before, beyond chance")
    assert "times those of the year before, which had none" in words
    assert "are at least 2" in words
    assert "\u221e" not in words


def test_without_a_year_before_there_is_nothing_to_compare(engineer):
    PositionFactory(in_service_on=NOW.date() - timedelta(days=20))
    assert verdict(report_of(engineer)) == ("There is no year before to compare with.")


def test_facts_of_today_are_counted(engineer):
    position = PositionFactory()
    signed = {"state": RepairState.SIGNED, "signed_at": NOW}
    common = {"position": position, "failure_mode": FailureMode.ELP, **signed}
    RepairFactory(**common, stopped_at=days_ago(3), reported_at=days_ago(3))
    RepairFactory(
        **common,
        reported_at=days_ago(30),
        stopped_at=days_ago(30),
        returned_at=days_ago(29),
        release=Release.OUTSIDE,
    )
    RepairFactory(**common, reported_at=days_ago(600), release=Release.OUTSIDE)
    RepairFactory(position=position, reported_at=days_ago(5), release=Release.CONTAINED)
    counts = report_of(engineer).counts
    assert counts[RowKind.STOPPED] == 1
    assert counts[RowKind.UNSIGNED] == 1
    assert counts[RowKind.RELEASES] == 1
    assert counts[RowKind.NO_MODE] == 1


def test_a_pump_that_waits_for_two_repairs_is_stopped_once(engineer):
    position = PositionFactory()
    for days in (3, 5):
        moment = days_ago(days)
        RepairFactory(position=position, reported_at=moment, stopped_at=moment)
    assert report_of(engineer).counts[RowKind.STOPPED] == 1


def test_a_void_repair_stops_nothing(engineer):
    RepairFactory(
        state=RepairState.VOID,
        void_reason="entered twice",
        signed_at=NOW,
        stopped_at=days_ago(3),
        reported_at=days_ago(3),
    )
    assert report_of(engineer).counts[RowKind.STOPPED] == 0


def test_gaps_in_the_records_are_counted(engineer):
    PlacementFactory()
    sealed = PlacementFactory()
    FittedLifeFactory(pump=sealed.pump, beginning=Beginning.UNKNOWN)
    FittedLifeFactory(
        pump=sealed.pump, component=Component.THRUST, location=Location.THRUST
    )
    taken_out = PlacementFactory(removed_at=days_ago(9))
    FittedLifeFactory(pump=taken_out.pump, beginning=Beginning.UNKNOWN)
    counts = report_of(engineer).counts
    assert counts[RowKind.NO_SEAL] == 1
    assert counts[RowKind.NO_BEARING] == 1
    assert counts[RowKind.UNKNOWN_BEGINNING] == 1


def test_costs_of_the_last_year_are_shown_to_who_may_see_them(engineer):
    repair = RepairFactory(reported_at=days_ago(60))
    CostLineFactory(repair=repair, amount=Decimal("12.50"))
    (found,) = report_of(engineer).costs
    assert found.repair_cost == Decimal("12.50")
    assert report_of(UserFactory()).costs is None


def test_a_user_of_one_site_sees_nothing_of_another():
    here = PositionFactory()
    RepairFactory(reported_at=days_ago(10))
    user = UserFactory(sees_all_sites=False)
    user.sites.add(here.site)
    report = report_of(user)
    assert report.all_positions == 1
    assert report.mtbr.events == 0
    assert set(report.counts.values()) == {0}


def test_the_page_links_each_figure_to_its_rows(engineer_client):
    position = PositionFactory()
    RepairFactory(position=position, reported_at=days_ago(2))
    page = engineer_client.get("/", {"area": position.area_id})
    text = page.content.decode()
    lists = [f"/fleet/{kind}/" for kind in RowKind if not kind.is_gap]
    others = ("/mtbr/", "/bad-actors/", "/fleet/likely-to-fail/", "/data-quality/")
    for address in (*lists, *others):
        assert f'href="{address}?area={position.area_id}' in text


def test_releases_stand_first_on_the_page(engineer_client):
    PositionFactory()
    tiles = engineer_client.get("/").context["tiles"]
    assert tiles[0]["label"] == RowKind.RELEASES.label
    assert tiles[1]["label"] == RowKind.NO_SPARE.label


def test_a_pump_that_got_bad_this_month_is_named_as_new(engineer_client):
    site = SiteFactory(rework_window_days=0)
    area = AreaFactory(site=site)
    positions = [PositionFactory(area=area, tag=f"P-{n:02d}") for n in range(40)]
    for position in positions[1:11]:
        RepairFactory(position=position, reported_at=days_ago(200))
    for days in range(2, 26, 2):
        RepairFactory(position=positions[0], reported_at=days_ago(days))
    tiles = engineer_client.get("/").context["tiles"]
    (tile,) = [tile for tile in tiles if tile["label"].startswith("Bad actors")]
    assert (tile["value"], tile["note"]) == ("1", "P-00")
    assert tile["interval"] == "New since a month ago: P-00"


def test_a_share_of_doubtful_failures_leads_to_its_rows(engineer_client):
    known = {"failure_mode": FailureMode.ELP, "reported_at": days_ago(20)}
    RepairFactory(**known, mechanism=Mechanism.M2_7)
    RepairFactory(**known)
    gaps = engineer_client.get("/").context["gaps"]
    (share,) = [gap for gap in gaps if gap["term"] == "Mechanism not known"]
    assert share["text"].replace("\u00a0", " ") == "50 %, 1 of 2 failures"
    assert len(engineer_client.get(share["url"]).context["rows"]) == 1


@pytest.mark.parametrize("kind", RowKind.values)
def test_each_list_has_as_many_rows_as_its_figure(engineer, engineer_client, kind):
    placement = PlacementFactory()
    RepairFactory(
        position=placement.position,
        pump=placement.pump,
        reported_at=days_ago(2),
        stopped_at=days_ago(2),
        release=Release.REPORTABLE,
    )
    known = FittedLifeFactory(beginning=Beginning.UNKNOWN)
    PlacementFactory(pump=known.pump)
    ReadingFactory(position=placement.position, read_at=days_ago(1), value=11.0)
    ActionFactory(site=placement.position.site)
    size = report_of(engineer).counts[RowKind(kind)]
    page = engineer_client.get(f"/fleet/{kind}/")
    export = engineer_client.get(f"/fleet/{kind}/export.csv").getvalue().decode()
    lines = list(csv.reader(io.StringIO(export.lstrip("\ufeff"))))
    assert len(page.context["rows"]) == size == len(lines) - 1
    assert size > 0
    shown = [[cell["text"] for cell in row] for row in page.context["rows"]]
    assert lines[1:] == shown


def test_a_list_is_sorted_as_the_address_says(engineer_client):
    for tag in ("P-2", "P-3", "P-1"):
        RepairFactory(position=PositionFactory(tag=tag))
    page = engineer_client.get("/fleet/unsigned/", {"sort": "-position"})
    shown = [row[1]["text"] for row in page.context["rows"]]
    assert shown == ["P-3", "P-2", "P-1"]


def test_an_empty_list_says_that_this_is_good(engineer_client):
    text = engineer_client.get("/fleet/stopped/").content.decode()
    assert "Nothing here: that is good." in text


def test_a_list_that_does_not_exist_is_not_found(engineer_client):
    assert engineer_client.get("/fleet/nothing/").status_code == 404


def test_an_empty_database_says_what_to_do(administrator_client, planner_client):
    for_administrator = administrator_client.get("/").content.decode()
    assert "Import the fleet from your own tables" in for_administrator
    assert "load_demo" in for_administrator
    assert "Ask the administrator" in planner_client.get("/").content.decode()


@pytest.mark.parametrize("address", ["/", "/fleet/stopped/", "/fleet/no-seal/"])
def test_the_number_of_queries_stays_when_rows_double(
    engineer_client, django_assert_num_queries, address
):
    def grow():
        for _ in range(3):
            placement = PlacementFactory(position__area=AreaFactory())
            RepairFactory(
                position=placement.position,
                pump=placement.pump,
                reported_at=days_ago(2),
                stopped_at=days_ago(2),
            )

    grow()
    with CaptureQueriesContext(connection) as few:
        engineer_client.get(address)
    grow()
    with django_assert_num_queries(len(few)):
        engineer_client.get(address)


def test_the_page_asks_for_a_log_in(client):
    assert client.get("/").status_code == 302
