"""The page of findings, the chase on the list, and the section of a repair."""

import pytest
from django.urls import reverse

from records.choices import Cause, Item, Mechanism
from records.models import Repair
from records.services.findings import findings_set
from records.services.repairs import repair_log
from tests.records.plant_at_hand import FINISHED, NOTHING_MOVED, plant_at_hand


@pytest.fixture
def repair(planner):
    here = plant_at_hand()
    return repair_log(
        by=planner,
        position=here.position,
        sign=True,
        as_is=NOTHING_MOVED,
        **FINISHED,
    )


@pytest.fixture
def closed(repair, planner):
    return findings_set(
        by=planner,
        repair=repair,
        patterns=[("coke", "thick")],
        mechanism=Mechanism.M5_1,
        cause=Cause.C3_1,
        sign=True,
    )


def address(repair):
    return reverse("records:repair_findings", args=[repair.pk])


def typed(client, repair, **facts):
    version = client.get(address(repair)).context["form"]["version"].value()
    facts = {name.replace("_", "-"): value for name, value in facts.items()}
    return {"version": version, "item": "mechanical seal", **facts}


def front(answer):
    return {row.pattern.code for row in answer.context["form"].front}


def test_the_item_brings_its_patterns_to_the_front(repair, planner_client):
    assert "dry running" in front(planner_client.get(address(repair)))
    assert "bearing rust" not in front(planner_client.get(address(repair)))


def test_another_item_shows_its_patterns_and_stores_nothing(repair, planner_client):
    sent = typed(planner_client, repair, item="radial bearing", narrow="1")
    answer = planner_client.post(address(repair), sent)
    assert "bearing rust" in front(answer)
    assert "dry running" not in front(answer)
    assert Repair.objects.get(pk=repair.pk).item == Item.SEAL


def test_mechanism_and_cause_start_as_not_yet_known(repair, planner_client):
    page = planner_client.get(address(repair)).content.decode()
    assert page.count('<option value="" selected>Not yet known</option>') == 2
    assert 'name="reason"' not in page


def test_a_pattern_suggests_in_words_and_fills_nothing(repair, planner_client):
    sent = typed(planner_client, repair, seen_dry_running="on", narrow="1")
    answer = planner_client.post(address(repair), sent)
    assert "often mechanism 2.7, Overheating" in answer.content.decode()
    assert not answer.context["form"]["mechanism"].value()
    assert not repair.teardown_findings.exists()


def test_findings_are_stored_and_stay_open(repair, planner_client):
    sent = typed(
        planner_client,
        repair,
        seen_dry_running="on",
        note_dry_running="Level was low",
        mechanism="2.7",
    )
    assert planner_client.post(address(repair), sent).status_code == 302
    page = planner_client.get(repair.get_absolute_url()).content.decode()
    assert "Open: nobody has signed the findings yet. Not yet known: cause." in page
    assert "Ran dry" in page
    assert "Level was low" in page


def test_signing_asks_for_what_is_missing_beside_the_field(repair, planner_client):
    sent = typed(planner_client, repair, mechanism="2.7", sign="1")
    answer = planner_client.post(address(repair), sent)
    assert answer.context["form"].errors.keys() == {"cause"}
    sent["cause"] = "3.2"
    assert planner_client.post(address(repair), sent).status_code == 302
    page = planner_client.get(repair.get_absolute_url()).content.decode()
    assert "Signed by planner on" in page


def test_a_planner_is_sent_back_from_signed_findings(closed, planner_client):
    answer = planner_client.get(address(closed), follow=True)
    assert "An engineer corrects" in answer.content.decode()


def test_an_engineer_corrects_signed_findings(closed, engineer_client):
    sent = typed(
        engineer_client,
        closed,
        seen_coke="on",
        note_coke="thin",
        mechanism="5.1",
        cause="1.2",
        reason="Shop report",
    )
    assert engineer_client.post(address(closed), sent).status_code == 302
    page = engineer_client.get(closed.get_absolute_url()).content.decode()
    assert "Coke on the air side changed (Shop report)" in page
    assert "<del>thick</del>" in page
    assert Repair.objects.get(pk=closed.pk).cause == "1.2"


def test_the_list_chases_open_findings(repair, closed, planner, planner_client):
    url = reverse("records:repair_list")
    assert "Findings are open" not in planner_client.get(url).content.decode()
    other = plant_at_hand("P-102", "SN-2")
    waiting = repair_log(
        by=planner, position=other.position, sign=True, as_is=NOTHING_MOVED, **FINISHED
    )
    page = planner_client.get(url).content.decode()
    assert "Findings are open for 1 repair: 0 handed back within 7 days" in page
    answer = planner_client.get(url, {"findings_open": "on"})
    assert [row.pk for row in answer.context["page"].object_list] == [waiting.pk]


def test_the_page_takes_as_many_queries_with_many_patterns(
    repair, planner, planner_client, django_assert_max_num_queries
):
    codes = ["coke", "springs", "blisters", "hang-up", "heat checks"]
    with django_assert_max_num_queries(22) as few:
        planner_client.get(repair.get_absolute_url())
    findings_set(by=planner, repair=repair, patterns=[(code, "") for code in codes])
    with django_assert_max_num_queries(len(few)):
        planner_client.get(repair.get_absolute_url())
