"""What changed meanwhile comes back as a question; nothing is dropped."""

from datetime import UTC, datetime

import pytest
from django.urls import reverse

from plant.choices import WhyRemoved
from plant.models import FittedLife, Placement
from plant.services.placements import pump_place, pump_take_out
from records.choices import RepairState
from records.models import Repair
from records.models.tablet_entry import EntryState
from records.services.repairs import repair_log
from tests.factories.plant import PumpFactory
from tests.records.plant_at_hand import FINISHED, seal_out
from tests.records.tablet.payloads import (
    answered,
    question_of,
    seal_swap,
    send,
)

EARLIER = {
    "reported_at": datetime(2024, 2, 29, 8, tzinfo=UTC),
    "stopped_at": datetime(2024, 2, 29, 9, tzinfo=UTC),
    "returned_at": datetime(2024, 2, 29, 20, tzinfo=UTC),
}


def test_a_seal_taken_out_by_somebody_else(fitter_client, fitter, here, seal_gone):
    payload = seal_swap(here, fitter)
    entry = question_of(send(fitter_client, payload))
    assert entry.payload == payload
    assert "already taken out on 2024-02-29" in entry.question["sentence"]
    assert Repair.objects.get() == seal_gone
    page = fitter_client.get(reverse("records:entry_question", args=[entry.pk]))
    assert b"PART-9" in page.content
    assert b"PART-8" in page.content
    assert seal_gone.number.encode() in page.content


def test_sending_a_question_again_asks_once(fitter_client, fitter, here, seal_gone):
    payload = seal_swap(here, fitter)
    first, second = send(fitter_client, payload), send(fitter_client, payload)
    assert question_of(first) == question_of(second)
    url = reverse("records:tablet_entry", args=[payload["key"]])
    assert fitter_client.get(url).json() == first.json()


def test_stored_without_what_was_already_changed(
    fitter_client, fitter, here, seal_gone
):
    payload = seal_swap(here, fitter, as_is=["failed:mechanical seal"])
    entry = question_of(send(fitter_client, payload))
    answered(fitter_client, entry, "without")
    assert entry.state == EntryState.ANSWERED
    assert entry.answered_by == fitter
    assert entry.repair.signed_by == fitter
    assert entry.repair.component_changes.count() == 0
    assert FittedLife.objects.filter(component="seal").count() == 2
    again = send(fitter_client, payload)
    assert again.status_code == 200
    assert again.json()["number"] == entry.repair.number


def test_one_answer_may_lead_to_the_next_question(
    fitter_client, fitter, here, seal_gone
):
    entry = question_of(send(fitter_client, seal_swap(here, fitter)))
    answered(fitter_client, entry, "without")
    assert entry.state == EntryState.QUESTION
    assert entry.question["codes"] == ["failed:mechanical seal"]
    answered(fitter_client, entry, "as it is")
    assert entry.repair.is_signed


def test_a_new_seal_still_goes_into_the_place_left_empty(
    fitter_client, fitter, here, planner
):
    repair_log(
        by=planner,
        position=here.position,
        components_out=[seal_out(here, why_removed=WhyRemoved.PRACTICE)],
        **{**FINISHED, **EARLIER, "item": "oil"},
    )
    payload = seal_swap(here, fitter, as_is=["failed:mechanical seal"])
    entry = question_of(send(fitter_client, payload))
    answered(fitter_client, entry, "without")
    assert FittedLife.objects.get(removed_at=None, component="seal").part == "PART-8"


def test_another_job_is_stored_as_well(
    planner_client, planner, fitter_client, fitter, here, same_job
):
    entry = question_of(send(fitter_client, seal_swap(here, fitter)))
    answered(planner_client, entry, "separate")
    assert entry.repair != same_job
    assert entry.repair.signed_by == planner
    assert entry.sent_by == fitter


def test_withdrawn_with_a_reason_and_kept(fitter_client, fitter, here, same_job):
    payload = seal_swap(here, fitter)
    entry = question_of(send(fitter_client, payload))
    answered(fitter_client, entry, "withdraw")
    assert entry.state == EntryState.QUESTION
    answered(fitter_client, entry, "withdraw", reason="Typed twice")
    assert (entry.state, entry.repair) == (EntryState.ANSWERED, None)
    assert entry.payload == payload
    assert entry.question["reason"] == "Typed twice"
    answer = send(fitter_client, payload)
    assert answer.status_code == 200
    assert answer.json()["answer"] == "withdraw"
    page = fitter_client.get(reverse("records:entry_question", args=[entry.pk]))
    assert b"Typed twice" in page.content


def test_only_the_sender_or_an_engineer_withdraws(
    fitter_client, planner_client, fitter, here, same_job
):
    entry = question_of(send(fitter_client, seal_swap(here, fitter)))
    answered(planner_client, entry, "withdraw", reason="Not mine")
    assert entry.state == EntryState.QUESTION


def test_an_answer_is_given_once(fitter_client, planner_client, fitter, here, same_job):
    entry = question_of(send(fitter_client, seal_swap(here, fitter)))
    answered(fitter_client, entry, "merge")
    answered(planner_client, entry, "separate")
    assert entry.answer == "merge"
    assert Repair.objects.count() == 1


def test_a_swap_that_looks_half_done_is_asked(fitter_client, fitter, here):
    payload = seal_swap(here, fitter, done={"out": [], "in": []})
    entry = question_of(send(fitter_client, payload))
    assert "no mechanical seal was taken out" in entry.question["sentence"]
    assert Repair.objects.count() == 0
    answered(fitter_client, entry, "draft")
    assert entry.repair.state == RepairState.DRAFT


@pytest.fixture
def pump_moved(here, planner):
    """The register has another pump there before the entry comes in."""
    [placement] = Placement.objects.all()
    moved_at = datetime(2024, 2, 1, tzinfo=UTC)
    pump_take_out(by=planner, placement=placement, removed_at=moved_at)
    other = PumpFactory(site=here.site, serial_number="SN-2")
    pump_place(by=planner, pump=other, position=here.position, placed_at=moved_at)
    return other


def test_a_pump_moved_meanwhile_is_asked(fitter_client, fitter, here, pump_moved):
    entry = question_of(send(fitter_client, seal_swap(here, fitter)))
    assert "did not stand at P-101" in entry.question["sentence"]
    answered(fitter_client, entry, "again")
    assert entry.state == EntryState.QUESTION
    answered(fitter_client, entry, "here")
    assert entry.state == EntryState.QUESTION
    assert entry.question["codes"] == ["failed:mechanical seal"]
    answered(fitter_client, entry, "as it is")
    assert entry.repair.pump == pump_moved
    here.seal.refresh_from_db()
    assert here.seal.removed_at is None


def test_a_spare_placed_elsewhere_meanwhile_is_asked(
    fitter_client, fitter, here, planner
):
    spare = PumpFactory(site=here.site, serial_number="SN-2")
    here.position.pk = None
    here.position.tag = "P-999"
    here.position.save()
    placed_at = datetime(2024, 2, 1, tzinfo=UTC)
    pump_place(by=planner, pump=spare, position=here.position, placed_at=placed_at)
    here.position = Placement.objects.get(pump=here.pump).position
    done = {"in": [], "swap_to_pump": spare.pk}
    entry = question_of(send(fitter_client, seal_swap(here, fitter, done=done)))
    assert "stands at P-999" in entry.question["sentence"]


def test_a_plate_of_another_pump_is_asked(fitter_client, fitter, here):
    PumpFactory(site=here.site, serial_number="SN-77")
    plate = {"check": "read", "serial_read": "sn 77"}
    entry = question_of(send(fitter_client, seal_swap(here, fitter, plate=plate)))
    assert "The plate says SN-77" in entry.question["sentence"]
    answered(fitter_client, entry, "here")
    assert entry.repair.plate_check == "not read"
    assert entry.repair.pump == here.pump


def test_a_plate_read_in_another_spelling_agrees(fitter_client, fitter, here):
    plate = {"check": "read", "serial_read": "sn 1"}
    answer = send(fitter_client, seal_swap(here, fitter, plate=plate))
    assert answer.status_code == 201
    assert Repair.objects.get().plate_check == "read"


def test_who_may_not_correct_leaves_it_to_an_engineer(
    fitter_client, engineer_client, fitter, here, same_job
):
    same_job = Repair.objects.get()
    entry = question_of(send(fitter_client, seal_swap(here, fitter)))
    answered(fitter_client, entry, "leave", reason="Ask the night shift")
    assert (entry.state, entry.repair) == (EntryState.QUESTION, None)
    url = reverse("records:entry_question", args=[entry.pk])
    for address in (url, reverse("records:entry_questions")):
        page = engineer_client.get(address).content.decode()
        assert "fitter left it to an engineer" in page
        assert "Ask the night shift" in page
    assert 'value="leave"' not in engineer_client.get(url).content.decode()
    answered(engineer_client, entry, "merge")
    assert entry.repair == same_job


def test_a_word_to_the_engineer_is_kept_short(fitter_client, fitter, here, same_job):
    entry = question_of(send(fitter_client, seal_swap(here, fitter)))
    answered(fitter_client, entry, "leave", reason="x" * 301)
    assert "left" not in entry.question


def test_the_same_question_again_is_said_to_be_the_same(
    fitter_client, fitter, here, pump_moved
):
    entry = question_of(send(fitter_client, seal_swap(here, fitter)))
    url = reverse("records:entry_question", args=[entry.pk])
    page = fitter_client.post(url, {"answer": "again"}, follow=True).content.decode()
    assert "Still the same: By the register, pump SN-1 did not stand" in page
    page = fitter_client.post(url, {"answer": "here"}, follow=True).content.decode()
    assert "Another question came up" in page
