"""Pages that print tags of the register, and the page that a scanned tag leads to."""

from io import BytesIO

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from pypdf import PdfReader

from plant.tags import selection
from plant.tags.labels import tag_path
from tests.conftest import logged_in
from tests.factories.plant import (
    AreaFactory,
    PlacementFactory,
    PositionFactory,
    PumpFactory,
    SiteFactory,
    UserFactory,
)

POSITIONS = reverse("plant:position_tags_file")
PUMPS = reverse("plant:pump_tags_file")


def words(response) -> str:
    assert response["Content-Type"] == "application/pdf"
    reader = PdfReader(BytesIO(response.content))
    return "\n".join(page.extract_text() for page in reader.pages)


def planner_of(site) -> Client:
    user = UserFactory(sees_all_sites=False, role="planner")
    user.sites.add(site)
    return logged_in(user)


def test_the_register_leads_to_its_tags_with_the_filters_in_use(engineer_client):
    PositionFactory(criticality="high")
    for name, filters in (
        ("position", "criticality=high&sort=-tag"),
        ("pump", "where=store"),
    ):
        register = engineer_client.get(reverse(f"plant:{name}_list") + f"?{filters}")
        actions = {a["label"]: a["url"] for a in register.context["actions"]}
        url = reverse(f"plant:{name}_tags") + f"?{filters}"
        assert actions["Print tags"] == url
        page = engineer_client.get(url)
        kept = [tuple(part.split("=")) for part in filters.split("&")]
        assert page.context["kept"] == kept


def test_all_that_fit_the_filters_are_printed_in_the_order_of_the_list(planner_client):
    area = AreaFactory()
    for tag, level in (("P-1", "high"), ("P-2", "low"), ("P-3", "high")):
        PositionFactory(area=area, tag=tag, criticality=level)
    response = planner_client.get(f"{POSITIONS}?criticality=high&sort=-tag&which=all")
    lines = words(response).splitlines()
    assert [line for line in lines if line.startswith("P-")] == ["P-3", "P-1"]
    assert "attachment" in response["Content-Disposition"]


def test_only_the_ticked_ones_are_printed_when_asked(planner_client):
    first, _second, third = PumpFactory.create_batch(3)
    ticks = (
        f"which=ticked&tick={first.pk}&tick={third.pk}&tick=x&tick=99999999999999999999"
    )
    text = words(planner_client.get(f"{PUMPS}?{ticks}"))
    assert [line for line in text.splitlines() if line.startswith("SN-")] == [
        first.serial_number,
        third.serial_number,
    ]


def test_the_size_chosen_decides_how_many_stand_on_a_page(planner_client):
    PositionFactory.create_batch(11)

    def pages(sheet):
        content = planner_client.get(f"{POSITIONS}?sheet={sheet}").content
        return len(PdfReader(BytesIO(content)).pages)

    assert [pages(sheet) for sheet in ("small", "medium", "large")] == [1, 2, 3]
    assert pages("nonsense") == 2


@pytest.mark.parametrize("ticks", ["which=ticked", "which=ticked&tick=1000000"])
def test_without_a_tick_the_page_comes_back_with_a_sentence(planner_client, ticks):
    PositionFactory(tag="P-1")
    response = planner_client.get(f"{POSITIONS}?text=P-1&{ticks}", follow=True)
    assert response.redirect_chain == [
        (reverse("plant:position_tags") + "?text=P-1", 302)
    ]
    assert "Tick at least one position, or take all that fit." in response.text


def test_more_than_one_file_may_hold_is_refused_with_the_number(
    planner_client, monkeypatch
):
    monkeypatch.setattr(selection, "MOST", 3)
    PumpFactory.create_batch(3)
    assert planner_client.get(PUMPS).status_code == 200
    PumpFactory()
    response = planner_client.get(PUMPS, follow=True)
    assert "4 pumps fit; one PDF holds 3 tags at most." in response.text


def test_a_person_of_another_site_gets_no_tag_of_this_one(db):
    position = PositionFactory()
    pump = PumpFactory(site=position.site)
    stranger = planner_of(SiteFactory())
    for url, row in ((POSITIONS, position), (PUMPS, pump)):
        asked = f"{url}?which=ticked&tick={row.pk}"
        assert stranger.get(asked).status_code == 302
        assert planner_of(position.site).get(asked).status_code == 200
        assert stranger.get(tag_path(row)).status_code == 404


def test_whoever_scans_logs_in_first_and_arrives_at_the_tag(db):
    position = PositionFactory()
    path = tag_path(position)
    response = Client().get(path)
    assert response.status_code == 302
    assert response["Location"] == f"{reverse('login')}?next={path}"


def test_the_qr_code_of_the_page_is_the_address_asked_with(planner_client):
    PositionFactory()
    page = planner_client.get(reverse("plant:position_tags"), HTTP_HOST="log.example")
    assert "http://log.example/" in page.text


def test_the_number_of_queries_stays_the_same_with_more_rows(planner_client):
    def queries(url) -> int:
        with CaptureQueriesContext(connection) as seen:
            assert planner_client.get(url).status_code == 200
        return len(seen)

    PlacementFactory.create_batch(3)
    urls = [reverse("plant:position_tags"), reverse("plant:pump_tags")]
    urls += [POSITIONS, PUMPS]
    few = [queries(url) for url in urls]
    PlacementFactory.create_batch(12)
    assert [queries(url) for url in urls] == few


def ways(response) -> list[str]:
    return [way.label for way in response.context["ways"]]


def test_a_position_tag_leads_first_to_a_repair_at_that_position(planner_client):
    placement = PlacementFactory(position__tag="P-7A", position__hazards=["toxic"])
    response = planner_client.get(tag_path(placement.position))
    first = response.context["ways"][0]
    new = reverse("records:repair_new")
    assert first.label == "Log a repair here"
    assert first.url == f"{new}?position={placement.position_id}"
    assert first.note == f"{placement.pump.serial_number} stands here."
    assert "Pump A of the spares" in response.text
    assert "Toxic." in response.text


def test_a_pump_tag_leads_first_to_a_repair_of_that_pump(planner_client):
    placement = PlacementFactory(position__tag="P-7A")
    response = planner_client.get(tag_path(placement.pump))
    first = response.context["ways"][0]
    assert first.label == "Log a repair here"
    assert first.url == f"{reverse('records:repair_new')}?pump={placement.pump_id}"
    assert first.note == "The register has it at P-7A."


def test_who_logs_no_repairs_is_shown_the_story_alone(manager_client):
    placement = PlacementFactory(position__tag="P-7A")
    at_position = ways(manager_client.get(tag_path(placement.position)))
    assert at_position == ["All about P-7A", "Print this tag again"]
    of_pump = ways(manager_client.get(tag_path(placement.pump)))
    assert of_pump[0] == f"All about {placement.pump.serial_number}"


def test_a_retired_pump_is_no_place_for_a_repair(planner_client):
    pump = PumpFactory(retired_on="2024-05-01")
    response = planner_client.get(tag_path(pump))
    assert "retired since 2024-05-01" in response.text
    assert "Log a repair here" not in ways(response)


def test_a_pump_that_never_stood_anywhere_is_placed_first(planner_client):
    response = planner_client.get(tag_path(PumpFactory()))
    assert ways(response)[0] == "Log a move of this pump"


def test_a_mistyped_code_is_not_found(planner_client):
    position = PositionFactory()
    right = tag_path(position)
    for letter in "HJKLMNPRTVWXYA":
        path = f"{right[:-2]}{letter}/"
        answer = planner_client.get(path).status_code
        assert answer == (200 if path == right else 404)
    assert planner_client.get(f"/t/{position.pk}/").status_code == 404
