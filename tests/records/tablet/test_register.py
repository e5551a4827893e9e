"""What a tablet keeps to work without network."""

from datetime import UTC, datetime

import pytest
from django.urls import reverse

from plant.tags.codes import code_read
from records.models import TabletEntry
from tests.conftest import logged_in
from tests.factories.plant import (
    AreaFactory,
    FittedLifeFactory,
    PlacementFactory,
    PositionFactory,
    PumpFactory,
    SiteFactory,
    UserFactory,
)
from tests.factories.records import RepairFactory
from tests.records.tablet.payloads import seal_swap, send

QUERIES = 14


@pytest.fixture
def url():
    return reverse("records:tablet_register")


def test_it_names_what_stands_where(fitter_client, fitter, here, url):
    here.pump.shaft_overhang_mm, here.pump.shaft_diameter_mm = 200, 50
    here.pump.save()
    RepairFactory(position=here.position, pump=here.pump, item="mechanical seal")
    store = PumpFactory(site=here.site, serial_number="SN-STORE")
    register = fitter_client.get(url).json()
    assert register["user"] == {"id": fitter.pk, "name": "fitter", "sees_costs": False}
    [place] = register["positions"]
    assert place["tag"] == "P-101"
    assert code_read(place["code"]).pk == here.position.pk
    assert place["pump"]["serial"] == "SN-1"
    assert place["pump"]["stiffness"]["text"] == "1.28 1/mm"
    lives = {life["id"]: life for life in place["pump"]["lives"]}
    assert set(lives) == {here.seal.pk, here.bearing.pk}
    assert lives[here.seal.pk]["label"] == "PART-7"
    assert lives[here.seal.pk]["details"]["faces"] == "carbon / silicon carbide"
    assert place["last_repairs"][0]["text"] == "Mechanical seal"
    assert place["open_repair"]["url"] == place["last_repairs"][0]["url"]
    assert place["days_since_last"] > 700
    assert {"kind", "low", "high", "source", "certainty"} == set(
        place["check_kinds"][0]
    )
    assert [pump["id"] for pump in register["store_pumps"]] == [store.pk]
    assert register["sites"][0]["zone"] == "UTC"
    assert ["ELP", "Process liquid leaks out"] in register["vocabulary"]["failure_mode"]
    assert register["vocabulary"]["item"][0]["group"] == "Pump unit"
    assert register["patterns"]
    assert register["checks"]
    assert register["cautions"]


def test_only_the_last_three_repairs_are_named(fitter_client, here, url):
    for day in range(1, 6):
        reported_at = datetime(2024, 3, day, tzinfo=UTC)
        RepairFactory(position=here.position, reported_at=reported_at)
    [place] = fitter_client.get(url).json()["positions"]
    named = [repair["on"] for repair in place["last_repairs"]]
    assert named == ["2024-03-05", "2024-03-04", "2024-03-03"]


def test_only_positions_in_service_at_the_users_sites(here, url):
    PositionFactory(area__site=here.site, out_of_service_on="2021-01-01")
    elsewhere = PlacementFactory().position
    user = UserFactory(role="fitter", sees_all_sites=False)
    user.sites.add(here.site)
    register = logged_in(user).get(url).json()
    assert [place["id"] for place in register["positions"]] == [here.position.pk]
    assert elsewhere.site_id not in [site["id"] for site in register["sites"]]


def test_unchanged_it_is_not_sent_again(fitter_client, here, url):
    first = fitter_client.get(url)
    again = fitter_client.get(url, HTTP_IF_NONE_MATCH=first["ETag"])
    assert (again.status_code, again.content) == (304, b"")
    here.position.service = "Reflux"
    here.position.save()
    changed = fitter_client.get(url, HTTP_IF_NONE_MATCH=first["ETag"])
    assert changed.status_code == 200


def test_the_register_sends_what_the_entries_take(fitter_client, fitter, here, url):
    [place] = fitter_client.get(url).json()["positions"]
    [seal] = [x for x in place["pump"]["lives"] if x["component"] == "seal"]
    names = ("component", "location")
    fitted = {**{name: seal[name] for name in names}, **seal["details"]}
    fitted["condition_fitted"] = "new"
    check = {**dict.fromkeys(("kind",), place["check_kinds"][0]["kind"])}
    check |= {"stage": "found", "not_measured_reason": "No indicator"}
    payload = seal_swap(here, fitter, done={"in": [fitted]}, checks=[check])
    assert send(fitter_client, payload).status_code == 201
    assert TabletEntry.objects.get().repair.checks.count() == 1


def fill(site, positions):
    area = AreaFactory(site=site)
    for number in range(positions):
        position = PositionFactory(area=area, tag=f"{area}-{number}")
        placement = PlacementFactory(position=position)
        FittedLifeFactory(pump=placement.pump)
        RepairFactory(position=placement.position, pump=placement.pump)
        PumpFactory(site=site)


def test_it_takes_as_many_queries_for_forty_positions_as_for_four(
    fitter_client, here, url, django_assert_num_queries
):
    fill(here.site, 4)
    fitter_client.get(url)
    with django_assert_num_queries(QUERIES):
        fitter_client.get(url)
    fill(here.site, 36)
    fill(SiteFactory(), 2)
    with django_assert_num_queries(QUERIES):
        fitter_client.get(url)
