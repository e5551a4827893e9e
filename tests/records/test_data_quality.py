"""Data quality: each figure, the rows behind it, and who sees which."""

from datetime import UTC, datetime, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from plant.choices import Beginning
from records.models import SettingCheck
from records.quality.figures import QualityScope, doubtful_rows, quality_figures
from records.quality.measures import BY_KEY, MEASURES
from tests.conftest import logged_in
from tests.factories.plant import (
    FittedLifeFactory,
    PlacementFactory,
    PositionFactory,
    SiteFactory,
    UserFactory,
)
from tests.factories.records import HourReadingFactory, RepairFactory

PAGE = "/data-quality/"


def days_ago(days):
    return timezone.now() - timedelta(days=days)


def recent(**more):
    return RepairFactory(**{"reported_at": days_ago(3), **more})


def figures(user, **scope):
    rows = quality_figures(QualityScope(user, **scope))
    return {row.measure.key: (row.doubtful, row.total) for row in rows}


def test_unknown_codes_are_counted_among_failures(planner):
    recent(failure_mode="UNK", item="unknown", mechanism="6.4", cause="")
    recent(failure_mode="ELP", item="shaft", mechanism="2.4", cause="3.4")
    recent(category="preventive", failure_mode="")
    found = figures(planner)
    for key in ("mode", "item", "mechanism", "cause"):
        assert found[key] == (1, 2)


def test_old_drafts_and_long_stops_are_counted(planner):
    recent(reported_at=days_ago(8), stopped_at=days_ago(40))
    recent(stopped_at=days_ago(3), returned_at=days_ago(2))
    found = figures(planner)
    assert found["drafts"] == (1, 2)
    assert found["stopped"] == (1, 2)


def test_the_same_item_within_a_day_may_be_one_event(planner):
    position = PositionFactory()
    for hours in (0, 20):
        recent(
            position=position,
            item="impeller",
            reported_at=days_ago(9) + timedelta(hours=hours),
        )
    recent(position=position, item="impeller", reported_at=days_ago(2))
    recent(position=PositionFactory(), item="impeller", reported_at=days_ago(9))
    assert figures(planner)["twins"] == (2, 4)


def test_settings_out_of_limit_as_left_are_counted(planner):
    repair = recent(item="mechanical seal")
    common = {"repair": repair, "kind": "shaft runout"}
    SettingCheck.objects.create(**common, stage="found", value=0.9, limit_high=0.05)
    SettingCheck.objects.create(**common, stage="left", value=0.08, limit_high=0.05)
    SettingCheck.objects.create(
        repair=repair, kind="end play", stage="left", value=0.04, limit_high=0.1
    )
    SettingCheck.objects.create(
        repair=repair, kind="soft foot", stage="left", not_measured_reason="No gauge"
    )
    found = figures(planner)
    assert found["limits"] == (1, 2)
    assert found["unmeasured"] == (1, 3)
    assert found["unchecked"] == (0, 1)


def test_lives_of_unknown_beginning_or_ending_are_counted(planner):
    FittedLifeFactory(beginning=Beginning.UNKNOWN)
    gone = days_ago(9)
    FittedLifeFactory(
        fitted_at=days_ago(90),
        removed_at=gone,
        ended_at=gone,
        why_removed="unknown",
        condition_found="good",
    )
    found = figures(planner)
    assert found["beginning"] == (1, 2)
    assert found["ending"] == (1, 1)
    assert found["inspected"] == (0, 1)


def test_positions_without_hours_pump_or_part_are_counted(planner):
    bare = PositionFactory(flow_m3_h=None)
    full = PlacementFactory().position
    PlacementFactory(
        position=full,
        placed_at=datetime(2001, 1, 1, tzinfo=UTC),
        removed_at=datetime(2002, 1, 1, tzinfo=UTC),
    )
    full.flow_m3_h, full.bep_flow_m3_h = 40.0, 50.0
    full.save()
    FittedLifeFactory(pump=full.placements.get(removed_at=None).pump, position=full)
    HourReadingFactory(position=full, read_at=days_ago(5), meter_hours=10.0)
    found = figures(planner)
    for key in ("meter", "empty", "seal", "duty"):
        assert found[key] == (1, 2)
        rows = doubtful_rows(BY_KEY[key], QualityScope(planner))
        assert list(rows) == [bare]


def test_what_lies_before_the_period_is_left_out(planner):
    recent(reported_at=days_ago(200), failure_mode="UNK")
    assert figures(planner, months=3)["mode"] == (0, 0)
    assert figures(planner, months=12)["mode"] == (1, 1)


@pytest.mark.parametrize("measure", MEASURES, ids=lambda m: m.key)
def test_the_rows_are_as_many_as_the_figure_says(planner, measure):
    repair = recent(item="mechanical seal", failure_mode="UNK", plate_check="not read")
    recent(position=repair.position, item="mechanical seal")
    FittedLifeFactory(beginning=Beginning.UNKNOWN)
    PlacementFactory()
    rows = doubtful_rows(measure, QualityScope(planner))
    assert figures(planner)[measure.key][0] == rows.count()
    page = logged_in(planner).get(f"{PAGE}{measure.key}/")
    assert page.status_code == 200
    assert len(page.context["rows"]) == rows.count()


def test_another_site_is_not_counted_nor_listed(db):
    here, there = SiteFactory(), SiteFactory()
    for site in (here, there):
        recent(position=PositionFactory(area__site=site), failure_mode="UNK")
    user = UserFactory(role="planner", sees_all_sites=False)
    user.sites.add(here)
    assert figures(user)["mode"] == (1, 1)
    page = logged_in(user).get(f"{PAGE}mode/?site={there.pk}")
    assert len(page.context["rows"]) == 1


def test_more_rows_need_no_more_queries(planner):
    recent()
    with CaptureQueriesContext(connection) as few:
        figures(planner)
    for _ in range(5):
        recent()
    with CaptureQueriesContext(connection) as many:
        figures(planner)
    assert len(many) == len(few)


def test_the_file_holds_the_rows_of_the_page(planner_client):
    repair = recent(failure_mode="UNK")
    answer = planner_client.get(f"{PAGE}mode/?as=csv")
    text = b"".join(answer.streaming_content).decode()
    assert repair.number in text


def test_an_unknown_measure_is_not_found(planner_client):
    assert planner_client.get(f"{PAGE}luck/").status_code == 404


def test_open_work_stays_in_sight_at_any_age(planner):
    recent(reported_at=days_ago(500))
    recent(reported_at=days_ago(500), stopped_at=days_ago(500))
    found = figures(planner)
    assert found["drafts"][0] == 2
    assert found["stopped"][0] == 1


def test_checks_of_void_repairs_are_left_out(planner):
    repair = recent(item="mechanical seal")
    SettingCheck.objects.create(
        repair=repair, kind="end play", stage="left", value=3.0, limit_high=0.1
    )
    repair.state, repair.void_reason = "void", "Entered twice"
    repair.signed_at = days_ago(1)
    repair.save()
    assert figures(planner)["limits"] == (0, 0)
