"""The page on which a new repair is typed."""

import re

import pytest
from django.urls import reverse

from plant.models import FittedLife
from records.models import CostLine, HourReading, Repair
from tests.conftest import logged_in
from tests.factories.plant import (
    PlacementFactory,
    PositionFactory,
    PumpFactory,
    UserFactory,
)
from tests.records.plant_at_hand import NOTHING_MOVED, RETURNED, plant_at_hand
from tests.records.repair_pages import seal_row, swapped_seal, typed


@pytest.fixture
def here(db):
    return plant_at_hand()


@pytest.fixture
def url(here):
    return f"{reverse('records:repair_new')}?position={here.position.pk}"


def page(response):
    """The words of a page, with single blanks."""
    text = re.sub(r"<[^>]+>", " ", response.content.decode())
    return re.sub(r"\s+", " ", text.replace("&#x27;", "'"))


def test_the_search_finds_by_tag_service_and_serial(here, planner_client):
    here.position.service = "Reflux"
    here.position.save()
    PositionFactory(tag="P-900", service="Caustic wash")
    for text in ("p-10", "reflux", "sn-1"):
        found = page(planner_client.get(reverse("records:repair_find"), {"text": text}))
        assert "P-101" in found
        assert "P-900" not in found


def test_the_search_lists_the_pump_worked_on_last_first(here, planner_client):
    PositionFactory(area=here.position.area, tag="P-001")
    planner_client.post(
        f"{reverse('records:repair_new')}?position={here.position.pk}", typed()
    )
    found = page(planner_client.get(reverse("records:repair_find")))
    assert found.index("P-101") < found.index("P-001")


def test_the_search_offers_pumps_in_the_store(here, planner_client):
    PumpFactory(site=here.site, serial_number="SN-STORE")
    new = reverse("records:repair_find")
    assert "SN-STORE" in page(planner_client.get(new, {"text": "store"}))


def test_the_form_lists_what_the_pump_carries(url, planner_client):
    shown = page(planner_client.get(url))
    assert "Seal, single end, inner" in shown
    assert "PART-7" in shown
    assert "Radial bearing, drive end" in shown


def test_nothing_is_chosen_before_the_user_chooses(url, planner_client):
    html = planner_client.get(url).content.decode()
    chosen = re.findall(r'<option value="([^"]*)" selected', html)
    assert set(chosen) <= {""}
    assert " checked" not in html
    times = re.findall(r'<input type="datetime-local"[^>]*>', html)
    assert times
    assert not [field for field in times if "value=" in field]


def test_the_part_is_offered_but_not_its_serial(here, url, planner_client):
    here.seal.serial = "S-OLD"
    here.seal.piping_plan = "11"
    here.seal.save()
    html = planner_client.get(url).content.decode()
    assert re.search(r'name="swap-0-part_number" value="PART-7"', html)
    assert not re.search(r'name="swap-0-serial" value', html)
    assert not re.search(r'name="swap-0-piping_plan" value', html)


def test_a_seal_swap_is_stored_as_a_draft(here, url, planner_client):
    costs = [
        {"kind": "parts", "amount": "312,50", "currency": "EUR", "status": "booked"}
    ]
    answer = planner_client.post(
        url, typed(swaps=[swapped_seal(here)], costs=costs, meter_hours="20.812,5")
    )
    repair = Repair.objects.get()
    assert answer.url == repair.get_absolute_url()
    assert not repair.is_signed
    here.seal.refresh_from_db()
    assert here.seal.removed_at == repair.stopped_at
    assert FittedLife.objects.get(serial="S-2").started_at == RETURNED
    assert CostLine.objects.get().amount == 312.5
    assert HourReading.objects.get().meter_hours == 20812.5


def test_save_and_sign_signs(url, planner_client, planner):
    planner_client.post(url, typed(action="sign", as_is=NOTHING_MOVED))
    assert Repair.objects.get().signed_by == planner


def test_what_signing_lacks_is_asked_beside_its_field(url, planner_client):
    answer = planner_client.post(
        url, typed(action="sign", activity="", as_is=NOTHING_MOVED)
    )
    assert answer.context["form"].errors == {"activity": ["Say what was done."]}
    assert not Repair.objects.exists()


def test_times_are_read_in_the_zone_of_the_site(here, url, planner_client):
    here.site.time_zone = "America/New_York"
    here.site.save()
    planner_client.post(url, typed())
    assert Repair.objects.get().reported_at.isoformat() == "2024-03-01T13:00:00+00:00"


def test_faults_are_listed_with_links_and_nothing_typed_is_lost(
    here, url, planner_client
):
    bad = {"taken_out": "on", "fit_new": "on", "part_number": "PART-99"}
    answer = planner_client.post(
        url,
        typed(
            swaps=[seal_row(here, **bad)],
            costs=[{"amount": "-1", "currency": "EUR", "note": "A note"}],
            reported_at="",
            text="Seal leaked",
        ),
    )
    assert [(f["label"], f["text"]) for f in answer.context["faults"]] == [
        ("Reported", "This field is required."),
        ("Seal, single end, inner, Defect seen before it was opened", "Choose one."),
        ("Seal, single end, inner, Condition found", "Choose one."),
        ("Seal, single end, inner, Why it was taken out", "Choose one."),
        ("Seal, single end, inner, The fitted one is", "Choose one."),
        ("Cost line 1, Kind", "Fill this in, or clear the line."),
        (
            "Cost line 1, Amount",
            "An amount is zero or more; to strike a line, replace it by 0.",
        ),
        ("Cost line 1, Figure is", "Fill this in, or clear the line."),
    ]
    html = answer.content.decode()
    assert 'href="#id_swap-0-condition_found"' in html
    for kept in ("PART-99", "A note", "Seal leaked"):
        assert kept in html
    assert not Repair.objects.exists()


def test_a_new_part_asks_for_the_old_one_to_leave(here, url, planner_client):
    row = swapped_seal(here)
    del row["taken_out"]
    answer = planner_client.post(url, typed(swaps=[row]))
    assert "Tick “Taken out” too: one stands there." in page(answer)


def test_a_component_taken_out_by_somebody_else_is_said_in_its_row(
    here, url, planner_client
):
    planner_client.post(url, typed(swaps=[swapped_seal(here)]))
    answer = planner_client.post(
        url, typed(swaps=[swapped_seal(here)], save_anyway="on")
    )
    [fault] = answer.context["faults"]
    assert fault["label"] == "Seal, single end, inner"
    assert "was already taken out on 2024-03-01 10:00." in fault["text"]
    assert Repair.objects.count() == 1


def test_a_life_of_another_pump_is_not_taken(here, url, planner_client):
    other = plant_at_hand("P-201", "SN-2")
    row = swapped_seal(here, life=other.seal.pk)
    answer = planner_client.post(url, typed(swaps=[row]))
    assert "This component is not one of this pump." in page(answer)


def test_a_component_is_fitted_at_a_place_that_stood_empty(here, url, planner_client):
    planner_client.post(
        url,
        typed(
            added=[{"location": "thrust", "condition_fitted": "new", "part": "7309"}]
        ),
    )
    life = FittedLife.objects.get(component="thrust bearing")
    assert (life.designation, life.pump) == ("7309", here.pump)


def test_a_half_filled_added_row_is_refused(url, planner_client):
    answer = planner_client.post(url, typed(added=[{"part": "7309"}]))
    assert [f["label"] for f in answer.context["faults"]] == [
        "Added component 1, Place",
        "Added component 1, It is",
    ]


def test_the_same_event_is_asked_back_and_saved_when_meant(url, planner_client):
    planner_client.post(url, typed())
    answer = planner_client.post(url, typed())
    assert "This looks like NWP-2024-0001" in page(answer)
    assert 'name="save_anyway"' in answer.content.decode()
    planner_client.post(url, typed(save_anyway="on"))
    assert Repair.objects.count() == 2


def test_the_answer_stays_in_sight_while_something_else_is_wrong(url, planner_client):
    planner_client.post(url, typed())
    answer = planner_client.post(url, typed(save_anyway="on", reported_at=""))
    assert re.search(r'name="save_anyway"[^>]*checked', answer.content.decode())


def test_a_position_without_a_pump_says_so(here, planner_client):
    empty = PositionFactory(area=here.position.area, tag="P-EMPTY")
    url = f"{reverse('records:repair_new')}?position={empty.pk}"
    assert "No pump stands at this position" in page(planner_client.get(url))


def test_a_pump_in_the_store_leads_to_where_it_stood(here, planner_client):
    spare = PumpFactory(site=here.site, serial_number="SN-9")
    last = PositionFactory(area=here.position.area, tag="P-LAST")
    PlacementFactory(pump=spare, position=last, removed_at="2024-01-01T00:00Z")
    url = f"{reverse('records:repair_new')}?pump={spare.pk}"
    assert "P-LAST" in page(planner_client.get(url))


@pytest.mark.parametrize("value", ["abc", "99999999999999999999", "²"])
def test_an_address_that_is_no_number_is_not_found(db, planner_client, value):
    url = reverse("records:repair_new")
    assert planner_client.get(url, {"position": value}).status_code == 404


def test_the_page_warns_and_leads_to_the_cautions(url, planner_client):
    answer = planner_client.get(url)
    assert "This record is not a permit" in page(answer)
    assert reverse("records:cautions") in answer.content.decode()


def test_no_button_approves_releases_or_starts_anything(url, planner_client):
    html = planner_client.get(url).content.decode()
    buttons = " ".join(re.findall(r"<button[^>]*>([^<]*)<", html)).lower()
    for word in ("approve", "release", "start", "permit"):
        assert word not in buttons


def test_managers_get_no_form(url, manager_client):
    assert manager_client.get(url).status_code == 403
    assert manager_client.post(url, typed()).status_code == 403


def test_planners_of_another_site_find_no_such_position(url):
    stranger = logged_in(UserFactory(role="planner", sees_all_sites=False))
    assert stranger.get(url).status_code == 404
    assert stranger.post(url, typed()).status_code == 404


def test_without_a_log_in_the_form_leads_to_it(url, client):
    assert client.get(url).url.startswith(reverse("login"))


def test_the_form_needs_the_same_queries_for_one_or_many_components(
    here, url, planner_client, django_assert_max_num_queries
):
    with django_assert_max_num_queries(22):
        planner_client.get(url)
