"""One job logged twice becomes one repair with what both know."""

from django.urls import reverse

from records.choices import RepairState
from records.models import Repair
from records.models.tablet_entry import EntryState
from tests.records.plant_at_hand import FINISHED
from tests.records.tablet.payloads import (
    RUNOUT_LEFT,
    SEAL_FITTED,
    answered,
    laid_over,
    question_of,
    seal_swap,
    send,
)


def test_the_same_job_is_merged_into_the_draft(fitter_client, fitter, here, same_job):
    payload = seal_swap(here, fitter, checks=[RUNOUT_LEFT])
    entry = question_of(send(fitter_client, payload))
    assert entry.question["other"] == same_job.pk
    answered(fitter_client, entry, "merge")
    same_job.refresh_from_db()
    assert entry.repair == same_job
    assert Repair.objects.count() == 1
    assert same_job.state == RepairState.DRAFT
    assert same_job.failure_mode == "VIB"
    assert same_job.impact == "degraded"
    assert same_job.returned_at == FINISHED["returned_at"]
    assert same_job.text.startswith("Heard it.")
    assert "Dry running marks." in same_job.text
    assert "Failure mode: ELP" in same_job.text
    assert same_job.checks.get().value == 0.03
    assert {c.change for c in same_job.component_changes.all()} == {"out", "in"}


def test_a_signed_repair_is_merged_into_by_a_correction(
    fitter_client, engineer_client, fitter, here, seal_gone
):
    entry = question_of(send(fitter_client, seal_swap(here, fitter)))
    page = fitter_client.get(reverse("records:entry_question", args=[entry.pk]))
    assert b'value="merge"' not in page.content
    assert answered(fitter_client, entry, "merge").status_code == 200
    assert entry.state == EntryState.QUESTION
    answered(engineer_client, entry, "merge")
    seal_gone.refresh_from_db()
    assert entry.repair == seal_gone
    assert seal_gone.impact == "degraded"
    assert "PART-8" in seal_gone.text
    assert seal_gone.component_changes.count() == 2
    reasons = seal_gone.history.values_list("history_change_reason", flat=True)
    assert "Merged with what fitter sent from a tablet" in reasons


def test_a_bill_of_the_same_kind_is_not_added_twice(
    planner_client, planner, here, same_job
):
    costs = [{"kind": "parts", "amount": "100", "status": "booked"}]
    first = seal_swap(here, planner, costs=costs)
    answered(planner_client, question_of(send(planner_client, first)), "merge")
    later = laid_over(first, {"key": seal_swap(here, planner)["key"]})
    later["done"]["in"], later["done"]["out"] = [SEAL_FITTED], []
    entry = question_of(send(planner_client, later))
    answered(planner_client, entry, "merge")
    assert entry.repair.cost_lines.count() == 1
