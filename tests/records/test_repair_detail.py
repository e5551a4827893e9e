"""The page of one repair: its story, its history and the ways on."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from records.choices import CostKind, CostStatus
from records.services.costs import CostEntry, cost_line_replace
from records.services.repair_voids import repair_void
from records.services.repairs import (
    repair_correct,
    repair_log,
    repair_update_draft,
)
from tests.conftest import logged_in
from tests.factories.plant import UserFactory
from tests.records.plant_at_hand import (
    FINISHED,
    NOTHING_MOVED,
    REPORTED,
    RETURNED,
    plant_at_hand,
    seal_in,
    seal_out,
)
from tests.records.test_repair_form_page import page


@pytest.fixture
def here(db):
    return plant_at_hand()


@pytest.fixture
def signed(here, planner):
    return repair_log(
        by=planner,
        position=here.position,
        components_out=[seal_out(here)],
        components_in=[seal_in(part_number="PART-8", serial="S-2")],
        costs=[CostEntry(CostKind.PARTS, Decimal("312.50"), CostStatus.ESTIMATE)],
        text="Faces <worn>",
        permit_reference="PTW-88",
        sign=True,
        **FINISHED,
    )


def story(client, repair):
    return page(client.get(repair.get_absolute_url()))


def offered(client, repair):
    answer = client.get(repair.get_absolute_url())
    return [action["label"] for action in answer.context["actions"]]


def test_the_story_tells_what_when_found_done(signed, planner_client):
    told = story(planner_client, signed)
    for words in (
        "P-101",
        "SN-1",
        "2024-03-01 08:00",
        "ELP, Process liquid leaks out",
        "Replace, same type",
        "PTW-88",
        "S-2",
        "Faces &lt;worn&gt;",
    ):
        assert words in told


def test_the_ending_of_a_life_follows_from_its_facts(signed, planner_client):
    assert "Failed: removed for a detected defect" in story(planner_client, signed)


def test_the_history_tells_who_when_why_and_from_what_to_what(
    signed, engineer, planner_client
):
    repair_correct(
        by=engineer,
        repair=signed,
        reason="Shop report",
        cause="2.2",
        returned_at=RETURNED + timedelta(hours=1),
    )
    told = story(planner_client, signed)
    assert "engineer" in told
    assert "Shop report" in told
    assert "Cause: Installation" in told
    assert "Handed back: 2024-03-02 15:00 became 2024-03-02 16:00" in told
    assert "Seal, single end, inner changed" in told
    assert "First started: 2024-03-02 15:00 became 2024-03-02 16:00" in told


def test_a_struck_fitting_stays_in_the_history(signed, engineer, planner_client):
    repair_void(by=engineer, repair=signed, reason="Wrong pump")
    told = story(planner_client, signed)
    assert "Void: Wrong pump" in told
    assert "Seal, single end, inner fitting struck" in told
    assert "Seal, single end, inner put back" in told


def test_replaced_lines_stay_in_the_ledger_but_not_in_the_sum(
    signed, planner, planner_client
):
    line = signed.cost_lines.get()
    entry = CostEntry(CostKind.PARTS, Decimal("290.00"), CostStatus.BOOKED)
    cost_line_replace(by=planner, line=line, entry=entry)
    answer = planner_client.get(signed.get_absolute_url())
    flags = [(row[1]["text"], row[0]["flag"]) for row in answer.context["cost_rows"]]
    assert flags == [
        ("EUR\N{NO-BREAK SPACE}290.00", ""),
        ("EUR\N{NO-BREAK SPACE}312.50", "replaced"),
    ]
    tiles = answer.context["cost_tiles"]
    assert tiles[0]["value"] == "EUR\N{NO-BREAK SPACE}290.00"


def window_of(here, days):
    here.site.rework_window_days = days
    here.site.save()


def test_a_rework_names_the_repair_before_it(here, planner, planner_client):
    window_of(here, 12)
    first = repair_log(by=planner, position=here.position, **FINISHED)
    again = repair_log(
        by=planner,
        position=here.position,
        reported_at=RETURNED + timedelta(days=12),
        category="corrective",
        item="mechanical seal",
    )
    told = story(planner_client, again)
    assert "rework: 12 days after the last repair (the same item)" in told
    assert first.number in told


def test_a_repair_after_the_window_is_no_rework(here, planner, planner_client):
    window_of(here, 90)
    repair_log(by=planner, position=here.position, **FINISHED)
    later = repair_log(
        by=planner,
        position=here.position,
        reported_at=RETURNED + timedelta(days=91),
        category="corrective",
    )
    told = story(planner_client, later)
    assert "91 days after the last repair of this pump" in told
    assert "rework:" not in told


def test_a_draft_says_what_signing_lacks(here, planner, planner_client):
    draft = repair_log(
        by=planner,
        position=here.position,
        reported_at=REPORTED,
        category="corrective",
        item="mechanical seal",
    )
    assert "Before signing it needs: What was done, Failure mode." in story(
        planner_client, draft
    )


def test_buttons_follow_role_and_state(
    here, planner, engineer, planner_client, engineer_client, manager_client
):
    draft = repair_log(by=planner, position=here.position, **FINISHED)
    assert offered(planner_client, draft) == [
        "Sign",
        "Edit the draft",
        "Add a cost",
        "Add photos",
        "Drop this draft",
    ]
    assert offered(engineer_client, draft)[-1] == "Drop this draft"
    assert offered(manager_client, draft) == []
    repair_update_draft(by=planner, repair=draft, sign=True, as_is=NOTHING_MOVED)
    assert offered(planner_client, draft) == ["Add a cost", "Add photos"]
    assert offered(engineer_client, draft) == [
        "Correct",
        "Add a cost",
        "Add photos",
        "Void",
    ]
    repair_void(by=engineer, repair=draft, reason="Entered twice")
    assert offered(engineer_client, draft) == []


def test_costs_are_shown_to_those_who_may_see_them(signed):
    told = story(logged_in(UserFactory()), signed)
    assert "312.50" not in told


def test_a_repair_of_another_site_is_not_found(signed):
    stranger = logged_in(UserFactory(role="planner", sees_all_sites=False))
    assert stranger.get(signed.get_absolute_url()).status_code == 404


def test_without_a_log_in_the_page_leads_to_it(signed, client):
    answer = client.get(signed.get_absolute_url())
    assert answer.url.startswith(reverse("login"))


def test_a_longer_history_needs_no_more_queries(
    signed, engineer, planner_client, django_assert_num_queries
):
    url = signed.get_absolute_url()
    repair_correct(by=engineer, repair=signed, reason="First", text="A")
    with CaptureQueriesContext(connection) as few:
        planner_client.get(url)
    for text in "BCDEF":
        repair_correct(by=engineer, repair=signed, reason="More", text=text)
    with django_assert_num_queries(len(few)):
        planner_client.get(url)
