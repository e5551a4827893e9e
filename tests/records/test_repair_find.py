"""The page that finds the pump: by characters, by the tag's code, newest work first."""

from datetime import UTC, datetime

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from plant.tags.labels import code_of, tag_path
from records.choices import RepairState
from records.selectors.pump_search import LIMIT, pumps_found
from tests.conftest import logged_in
from tests.factories.plant import (
    AreaFactory,
    PlacementFactory,
    PositionFactory,
    PumpFactory,
    SiteFactory,
    UserFactory,
)
from tests.factories.records import RepairFactory

FIND = reverse("records:repair_find")
NEW = reverse("records:repair_new")


def signed(position, year):
    at = datetime(year, 1, 1, tzinfo=UTC)
    state = {"state": RepairState.SIGNED, "signed_at": at}
    return RepairFactory(position=position, reported_at=at, **state)


def logged_by(user, position, year):
    """A repair that `user` typed, as the services write it down."""
    at = datetime(year, 1, 1, tzinfo=UTC)
    repair = RepairFactory.build(position=position, site=position.site, reported_at=at)
    repair._history_user = user
    repair.save()
    return repair


def tags(user, text="") -> list[str]:
    return [position.tag for position in pumps_found(user=user, text=text).positions]


def names(response) -> list[str]:
    return [match.name for match in response.context["matches"]]


@pytest.mark.parametrize("text", ["p-77", "absorber circ", "sn-wanted"])
def test_a_few_characters_of_tag_service_or_serial_find_it(planner_client, text):
    wanted = PositionFactory(tag="P-77", service="Absorber circulation")
    pump = PumpFactory(site=wanted.site, serial_number="SN-WANTED")
    PlacementFactory(position=wanted, pump=pump)
    PositionFactory(tag="P-2", service="Reflux")
    response = planner_client.get(f"{FIND}?text={text}")
    (match,) = response.context["matches"]
    assert match.url == f"{NEW}?position={wanted.pk}"
    assert f'href="{match.url}"' in response.text


def test_what_the_user_logged_last_comes_first_then_the_newest(planner):
    area = AreaFactory()
    old, newer, mine, first = (
        PositionFactory(area=area, tag=tag) for tag in ("P-1", "P-2", "P-3", "P-4")
    )
    signed(old, 2020)
    signed(newer, 2024)
    logged_by(planner, first, 2018)
    logged_by(planner, mine, 2019)
    assert tags(planner) == ["P-3", "P-4", "P-2", "P-1"]
    assert tags(UserFactory()) == ["P-2", "P-1", "P-3", "P-4"]


def test_an_exact_tag_comes_before_one_that_only_begins_so(planner):
    area = AreaFactory()
    PositionFactory(area=area, tag="P-10")
    signed(PositionFactory(area=area, tag="P-101"), 2024)
    assert tags(planner, "p-10") == ["P-10", "P-101"]


def test_a_draft_begun_there_is_offered_beside_a_new_repair(planner_client):
    draft = RepairFactory(number="R-9")
    signed(draft.position, 2020)
    (match,) = planner_client.get(FIND).context["matches"]
    assert [one["url"] for one in match.drafts] == [
        reverse("records:repair_edit", args=[draft.pk])
    ]
    assert "R-9" in match.drafts[0]["label"]


def test_a_pump_of_the_store_is_found_by_its_serial(planner_client):
    stood = PlacementFactory(
        position__tag="P-8",
        pump__serial_number="STORE-1",
        removed_at=datetime(2023, 1, 1, tzinfo=UTC),
    )
    never = PumpFactory(serial_number="STORE-2")
    PumpFactory(serial_number="STORE-3", retired_on="2024-01-01")
    stored = planner_client.get(f"{FIND}?text=store-").context["stored"]
    assert [(one.name, one.url) for one in stored] == [
        ("STORE-1", f"{NEW}?pump={stood.pump_id}"),
        ("STORE-2", reverse("plant:pump_move", args=[never.pk])),
    ]
    assert stored[0].note == "Stood last at P-8"


def test_htmx_gets_the_results_alone_and_caches_keep_them_apart(planner_client):
    PositionFactory(tag="P-77")
    part = planner_client.get(f"{FIND}?text=77", headers={"HX-Request": "true"})
    assert "P-77" in part.text
    assert "<html" not in part.text
    assert "HX-Request" in part["Vary"]
    assert "<html" in planner_client.get(f"{FIND}?text=77").text


def test_more_than_fit_the_page_are_not_shown_and_said(planner_client):
    PositionFactory.create_batch(LIMIT + 1, area=AreaFactory(), service="Wash")
    response = planner_client.get(f"{FIND}?text=wash")
    assert len(response.context["matches"]) == LIMIT
    assert "Type a few more characters" in response.text


def test_nothing_found_says_what_to_try(planner_client, engineer_client):
    assert "An engineer registers positions" in planner_client.get(FIND).text
    assert "Register a position" in engineer_client.get(FIND).text
    PositionFactory()
    assert "Try fewer characters" in planner_client.get(f"{FIND}?text=nowhere").text


def test_a_typed_code_and_a_scanned_address_lead_to_the_form(planner_client):
    placement = PlacementFactory()
    position, pump = placement.position, placement.pump
    for row, target in (
        (position, f"{NEW}?position={position.pk}"),
        (pump, f"{NEW}?pump={pump.pk}"),
    ):
        for code in (str(code_of(row)), f"http://testserver{tag_path(row)}"):
            response = planner_client.get(FIND, {"code": code})
            assert response.status_code == 302
            assert response["Location"] == target
            assert planner_client.get(target).status_code == 200


@pytest.mark.parametrize(
    ("code", "sentence"),
    [
        ("https://elsewhere.example/t/1H/", "leads to elsewhere.example, not to this"),
        ("T 12", "T 12 is no code of a tag"),
        ("<script>", "&lt;script&gt; is no code of a tag"),
    ],
)
def test_a_foreign_address_and_a_slip_are_refused_in_words(
    planner_client, code, sentence
):
    response = planner_client.get(FIND, {"code": code})
    assert response.status_code == 200
    assert sentence in response.text


def test_a_tag_of_another_site_is_refused(db):
    placement = PlacementFactory()
    user = UserFactory(sees_all_sites=False, role="planner")
    user.sites.add(SiteFactory())
    stranger = logged_in(user)
    assert names(stranger.get(f"{FIND}?text=P-")) == []
    for row, noun in ((placement.position, "position"), (placement.pump, "pump")):
        response = stranger.get(FIND, {"code": str(code_of(row))})
        assert f"No {noun} of your sites has the code" in response.text


def test_a_retired_or_never_placed_pump_is_refused_in_words(planner_client):
    retired = PumpFactory(retired_on="2024-05-01")
    never = PumpFactory()
    for pump, sentence in ((retired, "is retired since"), (never, "Place it first")):
        response = planner_client.get(FIND, {"code": str(code_of(pump))})
        assert sentence in response.text


def test_who_may_not_log_repairs_is_refused(manager_client):
    assert manager_client.get(FIND).status_code == 403


def test_the_number_of_queries_stays_the_same_with_more_rows(planner, planner_client):
    def queries() -> int:
        with CaptureQueriesContext(connection) as seen:
            planner_client.get(f"{FIND}?text=P-")
        return len(seen)

    def grow(count):
        for placement in PlacementFactory.create_batch(count):
            logged_by(planner, placement.position, 2020)

    grow(2)
    few = queries()
    grow(12)
    assert queries() == few
