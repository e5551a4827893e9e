"""Drafts: changed, guarded against two editors, signed."""

from datetime import date, timedelta

import pytest
from django.core.exceptions import ValidationError

from plant.models import FittedLife
from records.choices import Activity, Category
from records.selectors.repairs import repair_version
from records.services.repairs import repair_log, repair_sign, repair_update_draft
from tests.records.plant_at_hand import (
    FINISHED,
    NOTHING_MOVED,
    REPORTED,
    RETURNED,
    STOPPED,
    plant_at_hand,
    seal_in,
    seal_out,
)


@pytest.fixture
def here(db):
    return plant_at_hand()


def test_a_draft_is_changed_and_its_components_follow_its_times(here, planner):
    draft = repair_log(
        by=planner,
        position=here.position,
        components_out=[seal_out(here)],
        components_in=[seal_in(part_number="PART-8")],
        **{**FINISHED, "returned_at": None},
    )
    assert FittedLife.objects.get(part_number="PART-8").started_at is None
    later = STOPPED + timedelta(hours=1)
    repair_update_draft(
        by=planner, repair=draft, stopped_at=later, returned_at=RETURNED
    )
    here.seal.refresh_from_db()
    assert here.seal.removed_at == later
    new = FittedLife.objects.get(part_number="PART-8")
    assert (new.fitted_at, new.started_at) == (RETURNED, RETURNED)


def test_a_removal_unticked_on_a_draft_is_undone(here, planner):
    draft = repair_log(
        by=planner,
        position=here.position,
        components_out=[seal_out(here)],
        components_in=[seal_in(part_number="PART-8")],
        **FINISHED,
    )
    repair_update_draft(by=planner, repair=draft, components_out=[], components_in=[])
    here.seal.refresh_from_db()
    assert here.seal.removed_at is None
    assert here.seal.why_removed == ""
    assert not FittedLife.objects.filter(part_number="PART-8").exists()
    assert draft.component_changes.count() == 0
    struck = FittedLife.history.filter(part_number="PART-8").first()
    assert struck.history_change_reason == f"{draft.number}: fitting struck"
    assert struck.history_user == planner


def test_the_second_of_two_editors_is_told_and_overwrites_nothing(here, planner):
    draft = repair_log(by=planner, position=here.position, **FINISHED)
    opened = repair_version(draft)
    repair_update_draft(by=planner, repair=draft, version=opened, text="First")
    with pytest.raises(ValidationError, match="planner changed NWP-2024-0001") as no:
        repair_update_draft(by=planner, repair=draft, version=opened, text="Second")
    assert no.value.code == "stale"
    draft.refresh_from_db()
    assert draft.text == "First"


def test_signing_freezes_the_draft_under_a_name(here, planner):
    draft = repair_log(by=planner, position=here.position, **FINISHED)
    signed = repair_sign(by=planner, repair=draft, as_is=NOTHING_MOVED)
    assert signed.is_signed
    assert signed.signed_by == planner
    with pytest.raises(ValidationError, match="was already signed by planner on"):
        repair_update_draft(by=planner, repair=draft, text="Later")
    with pytest.raises(ValidationError, match="was already signed by planner on"):
        repair_sign(by=planner, repair=draft)


def test_signing_names_what_is_missing(here, planner):
    draft = repair_log(
        by=planner,
        position=here.position,
        reported_at=REPORTED,
        stopped_at=STOPPED,
        category=Category.CORRECTIVE,
    )
    with pytest.raises(ValidationError) as refused:
        repair_sign(by=planner, repair=draft)
    assert refused.value.message_dict == {
        "activity": ["Say what was done."],
        "failure_mode": ["Choose one; “Not known” is an answer."],
        "item": ["Choose one; “Not known” is an answer."],
        "returned_at": [
            "It is signed when it is handed back; until then keep it as a draft."
        ],
    }


def test_preventive_work_is_signed_without_a_failure_mode(here, planner):
    repair = repair_log(
        by=planner,
        position=here.position,
        reported_at=REPORTED,
        category=Category.PREVENTIVE,
        activity=Activity.INSPECTION,
        sign=True,
    )
    assert repair.is_signed
    assert repair.signed_at.date() >= date(2024, 3, 1)
