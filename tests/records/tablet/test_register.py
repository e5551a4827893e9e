"""What a tablet keeps to work without network."""

import json
from datetime import UTC, datetime

import pytest
from django.urls import reverse

from plant.models import Placement
from plant.tags.codes import TagCode, TagKind, code_read
from records.models import Repair, TabletEntry
from records.selectors.repairs import with_earlier_repair
from records.tablet.register import register_of
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

QUERIES = 17


@pytest.fixture
def url():
    return reverse("records:tablet_register")


def test_it_names_what_stands_where(fitter_client, fitter, here, url):
    here.pump.shaft_overhang_mm, here.pump.shaft_diameter_mm = 200, 50
    here.pump.save()
    logged(here, 1, month=2)
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
        RepairFactory(position=here.position, pump=here.pump, reported_at=reported_at)
    [place] = fitter_client.get(url).json()["positions"]
    named = [repair["on"] for repair in place["last_repairs"]]
    assert named == ["2024-03-05", "2024-03-04", "2024-03-03"]


def test_every_pump_has_the_code_of_its_tag(fitter_client, here, url):
    store = PumpFactory(site=here.site, serial_number="SN-STORE")
    register = fitter_client.get(url).json()
    [place], [spare] = register["positions"], register["store_pumps"]
    assert code_read(place["pump"]["code"]) == TagCode(TagKind.PUMP, here.pump.pk)
    assert code_read(spare["code"]) == TagCode(TagKind.PUMP, store.pk)


NOW = datetime(2024, 6, 1, 12, tzinfo=UTC)


def place_of(fitter):
    [place] = json.loads(register_of(fitter, NOW)[0])["positions"]
    return place


def logged(here, day, month=5, **facts):
    at = datetime(2024, month, day, 12, tzinfo=UTC)
    facts = {"position": here.position, "pump": here.pump} | facts
    return RepairFactory(reported_at=at, stopped_at=at, returned_at=at, **facts)


def test_days_since_run_by_pump_from_the_repair_before_the_open_one(fitter, here):
    before = logged(here, 2)
    logged(here, 20, pump=PumpFactory(site=here.site))
    logged(here, 25, shop_work_of=before)
    RepairFactory(
        position=here.position,
        pump=here.pump,
        reported_at=datetime(2024, 5, 30, 12, tzinfo=UTC),
    )
    place = place_of(fitter)
    assert place["open_repair"]["url"] == place["last_repairs"][0]["url"]
    assert place["days_since_last"] == 30


def test_a_pump_brings_its_last_repairs_from_where_it_stood_before(fitter, here):
    elsewhere = PositionFactory(
        area__site=here.site, tag="P-900", out_of_service_on="2024-05-30"
    )
    logged(here, 22, position=elsewhere)
    place = place_of(fitter)
    assert place["days_since_last"] == 10
    assert [row["on"] for row in place["last_repairs"]] == ["2024-05-22"]


def test_an_empty_position_goes_by_its_own_repairs(fitter, here):
    logged(here, 22)
    Placement.objects.update(removed_at=NOW)
    place = place_of(fitter)
    assert place["pump"] is None
    assert len(place["last_repairs"]) == 1


def test_the_tablet_counts_the_days_as_the_record_does(fitter, here):
    before = logged(here, 2)
    draft = RepairFactory(position=here.position, pump=here.pump, reported_at=NOW)
    rows = Repair.objects.filter(pk=draft.pk)
    assert with_earlier_repair(rows).get().earlier_pk == before.pk
    since = with_earlier_repair(rows).get().since_earlier
    assert place_of(fitter)["days_since_last"] == since.days


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
