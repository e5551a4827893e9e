"""Corrections and voids of repairs, through the services."""

from datetime import timedelta

import pytest
from django.core.exceptions import PermissionDenied, ValidationError

from plant.choices import ConditionFound, Location, WhyRemoved
from plant.models import FittedLife
from records.choices import Cause, ChangeKind, RepairState
from records.models import ComponentChange
from records.services.component_rows import ComponentIn, ComponentOut, components_now
from records.services.repair_voids import repair_void
from records.services.repairs import repair_correct, repair_log
from tests.records.plant_at_hand import (
    FINISHED,
    REPORTED,
    RETURNED,
    STOPPED,
    plant_at_hand,
    seal_in,
    seal_out,
)

LATER = {
    name: FINISHED[name] + timedelta(days=40)
    for name in ("reported_at", "stopped_at", "returned_at")
}


@pytest.fixture
def here(db):
    return plant_at_hand()


@pytest.fixture
def swap(here, planner):
    return repair_log(
        by=planner,
        position=here.position,
        components_out=[seal_out(here)],
        components_in=[seal_in(part_number="PART-8")],
        sign=True,
        **FINISHED,
    )


def fitted_by(repair):
    return repair.component_changes.get(change=ChangeKind.IN).life


def log_second_swap(here, planner, first):
    return repair_log(
        by=planner,
        position=here.position,
        components_out=[ComponentOut(fitted_by(first), WhyRemoved.DEFECT, True)],
        components_in=[seal_in(part_number="PART-9")],
        **{**FINISHED, **LATER},
    )


def test_a_late_cause_is_a_correction_with_its_reason(swap, engineer):
    repair_correct(by=engineer, repair=swap, reason="Shop report", cause=Cause.C2_2)
    swap.refresh_from_db()
    assert swap.cause == Cause.C2_2
    newest, before = swap.history.order_by("-history_id")[:2]
    assert newest.history_change_reason == "Shop report"
    assert newest.history_user == engineer
    assert (before.cause, newest.cause) == ("", "2.2")


@pytest.mark.parametrize("reason", ["", "   "])
def test_a_correction_needs_a_reason(swap, engineer, reason):
    with pytest.raises(ValidationError, match="Give the reason"):
        repair_correct(by=engineer, repair=swap, reason=reason, cause=Cause.C2_2)


def test_a_reason_that_history_cannot_hold_is_refused(swap, engineer):
    with pytest.raises(ValidationError, match="within 100 characters"):
        repair_correct(by=engineer, repair=swap, reason="x" * 101)


def test_a_draft_is_not_corrected(here, planner, engineer):
    draft = repair_log(by=planner, position=here.position, **FINISHED)
    with pytest.raises(ValidationError, match="is not signed; only that is corrected"):
        repair_correct(by=engineer, repair=draft, reason="Why not")


def test_planners_correct_nothing(swap, planner):
    with pytest.raises(PermissionDenied):
        repair_correct(by=planner, repair=swap, reason="Typing error")


def test_a_correction_keeps_what_signing_asked_for(swap, engineer):
    with pytest.raises(ValidationError, match="Choose one"):
        repair_correct(by=engineer, repair=swap, reason="Not sure", failure_mode="")
    swap.refresh_from_db()
    assert swap.failure_mode == "ELP"


def test_corrected_facts_change_the_life(swap, here, engineer):
    outs, ins = components_now(swap)
    repair_correct(
        by=engineer,
        repair=swap,
        reason="It had not leaked",
        components_out=[
            ComponentOut(here.seal, WhyRemoved.PLANNED, False, ConditionFound.GOOD)
        ],
        components_in=ins,
    )
    here.seal.refresh_from_db()
    assert here.seal.why_removed == WhyRemoved.PLANNED
    assert here.seal.ended_at == STOPPED
    assert outs[0].why_removed == WhyRemoved.DEFECT
    newest = here.seal.history.first()
    assert newest.history_change_reason == f"{swap.number}: changed"


@pytest.mark.parametrize("shift", [timedelta(days=-3), timedelta(days=3)])
def test_times_shifted_in_a_correction_shift_both_lives(swap, here, engineer, shift):
    repair_correct(
        by=engineer,
        repair=swap,
        reason="Wrong week",
        reported_at=REPORTED + shift,
        stopped_at=STOPPED + shift,
        returned_at=RETURNED + shift,
    )
    here.seal.refresh_from_db()
    new = fitted_by(swap)
    assert (here.seal.ended_at, here.seal.removed_at) == (
        REPORTED + shift,
        STOPPED + shift,
    )
    assert (new.fitted_at, new.started_at) == (RETURNED + shift, RETURNED + shift)


def test_times_given_for_a_component_stay_when_the_repair_shifts(
    here, planner, engineer
):
    given = STOPPED + timedelta(hours=2)
    repair = repair_log(
        by=planner,
        position=here.position,
        components_out=[seal_out(here, removed_at=given)],
        components_in=[
            ComponentIn("seal", Location.SEAL_SINGLE_INNER, fitted_at=given)
        ],
        sign=True,
        **FINISHED,
    )
    earlier = STOPPED - timedelta(hours=1)
    repair_correct(by=engineer, repair=repair, reason="Typing", stopped_at=earlier)
    here.seal.refresh_from_db()
    assert here.seal.removed_at == given
    assert fitted_by(repair).fitted_at == given
    assert fitted_by(repair).started_at == RETURNED


def test_a_correction_that_crosses_a_later_life_is_refused(
    swap, here, planner, engineer
):
    log_second_swap(here, planner, swap)
    after = LATER["returned_at"] + timedelta(days=1)
    with pytest.raises(ValidationError) as refused:
        repair_correct(
            by=engineer,
            repair=swap,
            reason="Wrong month",
            reported_at=after,
            stopped_at=after,
            returned_at=after,
        )
    assert "before it was fitted on" in refused.value.messages[0]
    here.seal.refresh_from_db()
    assert here.seal.removed_at == STOPPED


def test_a_void_puts_back_what_left_and_strikes_what_came(swap, here, engineer):
    voided = repair_void(by=engineer, repair=swap, reason="Wrong pump")
    assert (voided.state, voided.void_reason) == (RepairState.VOID, "Wrong pump")
    here.seal.refresh_from_db()
    assert here.seal.removed_at is None
    assert here.seal.ended_at is None
    assert not FittedLife.objects.filter(part_number="PART-8").exists()
    assert not ComponentChange.objects.exists()
    newest = here.seal.history.first()
    assert newest.history_change_reason == f"{swap.number}: put back"


def test_a_voided_removal_can_be_logged_again(swap, here, engineer, planner):
    repair_void(by=engineer, repair=swap, reason="Wrong day")
    again = repair_log(
        by=planner,
        position=here.position,
        components_out=[seal_out(here)],
        **FINISHED,
    )
    assert again.component_changes.get().life == here.seal


def test_a_draft_is_made_void_too(here, planner, engineer):
    draft = repair_log(by=planner, position=here.position, **FINISHED)
    voided = repair_void(by=engineer, repair=draft, reason="Entered twice")
    assert voided.state == RepairState.VOID
    assert voided.signed_by == engineer


def test_a_void_waits_for_the_repair_that_built_on_it(swap, here, planner, engineer):
    second = log_second_swap(here, planner, swap)
    with pytest.raises(ValidationError) as refused:
        repair_void(by=engineer, repair=swap, reason="Wrong pump")
    assert refused.value.messages == [
        "Seal, single end, inner of SN-1, fitted by NWP-2024-0001, was taken out on "
        f"2024-04-10 10:00 by {second}; that one comes first."
    ]


def test_a_void_is_refused_when_another_was_fitted_in_the_place(
    here, planner, engineer
):
    first = repair_log(
        by=planner, position=here.position, components_out=[seal_out(here)], **FINISHED
    )
    second = repair_log(
        by=planner,
        position=here.position,
        components_in=[seal_in(part_number="PART-9")],
        **{**FINISHED, **LATER},
    )
    with pytest.raises(ValidationError) as refused:
        repair_void(by=engineer, repair=first, reason="Wrong pump")
    assert refused.value.messages == [
        "Seal, single end, inner of SN-1 cannot be put back: another one was fitted "
        f"in its place on 2024-04-11 15:00 by {second}. That fitting comes first."
    ]
    first.refresh_from_db()
    assert first.state == RepairState.DRAFT


def test_a_void_is_not_voided_again(swap, engineer):
    repair_void(by=engineer, repair=swap, reason="Wrong pump")
    with pytest.raises(ValidationError, match="is void already: Wrong pump"):
        repair_void(by=engineer, repair=swap, reason="Again")


def test_planners_void_nothing(swap, planner):
    with pytest.raises(PermissionDenied):
        repair_void(by=planner, repair=swap, reason="Wrong pump")


def test_a_part_damaged_by_another_item_names_the_event(here, planner):
    repair = repair_log(
        by=planner,
        position=here.position,
        components_out=[
            seal_out(here),
            ComponentOut(here.bearing, WhyRemoved.DAMAGED, True, ConditionFound.REJECT),
        ],
        **FINISHED,
    )
    changes = {c.life_id: c.damaged_by for c in repair.component_changes.all()}
    assert changes == {here.seal.pk: None, here.bearing.pk: repair}
