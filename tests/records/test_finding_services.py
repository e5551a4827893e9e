"""Findings at teardown: signed by themselves, often days after the hand-back."""

from datetime import timedelta

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.db import DatabaseError, transaction
from django.utils import timezone

from records.choices import Category, Cause, Item, Mechanism
from records.models import Repair, TeardownFinding
from records.selectors.findings import (
    are_findings_open,
    findings_by_age,
    findings_open,
)
from records.services.findings import (
    PatternRefused,
    findings_correct,
    findings_set,
    findings_sign,
)
from records.services.half_done import AsIsAsked
from records.services.repair_voids import repair_void
from records.services.repairs import repair_correct, repair_log
from tests.factories.plant import UserFactory
from tests.factories.records import RepairFactory
from tests.records.plant_at_hand import FINISHED, NOTHING_MOVED, plant_at_hand

KNOWN = {"item": Item.SEAL, "mechanism": Mechanism.M2_7, "cause": Cause.C3_2}


@pytest.fixture
def here(db):
    return plant_at_hand()


def logged(here, by, *, sign, **facts):
    return repair_log(
        by=by,
        position=here.position,
        sign=sign,
        as_is=[*NOTHING_MOVED, "worked on:mechanical seal"],
        **{**FINISHED, **facts},
    )


@pytest.fixture
def draft(here, planner):
    return logged(here, planner, sign=False)


@pytest.fixture
def handed_back(here, planner):
    return logged(here, planner, sign=True)


@pytest.fixture
def closed(handed_back, planner):
    return findings_set(
        by=planner, repair=handed_back, patterns=[("coke", "")], sign=True, **KNOWN
    )


def seen(repair):
    return {row.pattern: row.note for row in repair.teardown_findings.all()}


def test_patterns_are_stored_on_a_draft(draft, planner):
    findings_set(by=planner, repair=draft, patterns=[("dry running", " on one side ")])
    assert seen(draft) == {"dry running": "on one side"}


def test_findings_follow_after_the_hand_back_was_signed(handed_back, planner):
    findings_set(
        by=planner,
        repair=handed_back,
        patterns=[("heat checks", "")],
        mechanism=Mechanism.M2_7,
    )
    stored = Repair.objects.get(pk=handed_back.pk)
    assert (stored.mechanism, stored.cause) == (Mechanism.M2_7, "")
    assert seen(stored) == {"heat checks": ""}
    assert stored.history.first().history_user == planner
    assert are_findings_open(stored)


def test_what_is_left_out_stays_and_blank_is_not_yet_known(handed_back, planner):
    findings_set(by=planner, repair=handed_back, patterns=[], **KNOWN)
    findings_set(by=planner, repair=handed_back, patterns=[], cause="")
    stored = Repair.objects.get(pk=handed_back.pk)
    assert (stored.mechanism, stored.cause) == (Mechanism.M2_7, "")


def test_a_pattern_no_longer_seen_is_taken_away_and_kept_in_history(draft, planner):
    findings_set(by=planner, repair=draft, patterns=[("coke", ""), ("springs", "")])
    findings_set(by=planner, repair=draft, patterns=[("springs", "packed")])
    assert seen(draft) == {"springs": "packed"}
    history = TeardownFinding.history.filter(pattern="coke").order_by("history_id")
    assert [row.history_type for row in history] == ["+", "-"]


@pytest.mark.parametrize(
    "pattern", [("no such look", ""), ("coke", ""), ("springs", "x" * 301)]
)
def test_a_pattern_that_cannot_be_is_refused_by_its_place(draft, planner, pattern):
    with pytest.raises(PatternRefused) as error:
        findings_set(by=planner, repair=draft, patterns=[("coke", ""), pattern])
    assert error.value.index == 1
    assert not seen(draft)


def test_an_unknown_code_of_a_mechanism_is_refused(draft, planner):
    with pytest.raises(ValidationError) as error:
        findings_set(by=planner, repair=draft, patterns=[], mechanism="9.9")
    assert "mechanism" in error.value.error_dict


def test_findings_of_a_failure_are_signed_when_all_is_answered(handed_back, planner):
    with pytest.raises(ValidationError) as error:
        findings_sign(by=planner, repair=handed_back)
    assert set(error.value.error_dict) == {"mechanism", "cause"}
    findings_set(
        by=planner,
        repair=handed_back,
        patterns=[],
        mechanism=Mechanism.M6_4,
        cause=Cause.C5_6,
        sign=True,
    )
    stored = Repair.objects.get(pk=handed_back.pk)
    assert stored.findings_signed_by == planner
    assert stored.findings_signed_at is not None
    assert not are_findings_open(stored)


def test_signing_that_is_refused_stores_nothing(handed_back, planner):
    with pytest.raises(ValidationError):
        findings_set(by=planner, repair=handed_back, patterns=[("coke", "")], sign=True)
    assert not seen(handed_back)


def test_findings_of_a_draft_are_not_signed(draft, planner):
    with pytest.raises(ValidationError, match="sign the hand-back first"):
        findings_set(by=planner, repair=draft, patterns=[], sign=True, **KNOWN)


def test_signed_findings_are_not_set_again(closed, planner):
    with pytest.raises(ValidationError, match="corrected, with a reason"):
        findings_set(by=planner, repair=closed, patterns=[])
    with pytest.raises(ValidationError, match="corrected, with a reason"):
        findings_sign(by=planner, repair=closed)
    assert seen(closed) == {"coke": ""}


def test_an_engineer_corrects_signed_findings_with_a_reason(closed, engineer):
    findings_correct(
        by=engineer,
        repair=closed,
        reason="Shop report of the maker",
        patterns=[("dry running", "")],
        cause=Cause.C1_1,
    )
    stored = Repair.objects.get(pk=closed.pk)
    assert seen(stored) == {"dry running": ""}
    assert stored.cause == Cause.C1_1
    newest = stored.history.first()
    assert newest.history_change_reason == "Shop report of the maker"
    assert newest.history_user == engineer


def test_a_correction_cannot_leave_signed_findings_unanswered(closed, engineer):
    with pytest.raises(ValidationError) as error:
        findings_correct(
            by=engineer, repair=closed, reason="Doubt", patterns=[], cause=""
        )
    assert "cause" in error.value.error_dict


def test_a_planner_does_not_correct_signed_findings(closed, planner):
    with pytest.raises(PermissionDenied):
        findings_correct(by=planner, repair=closed, reason="Because", patterns=[])


def test_a_manager_enters_no_findings(handed_back, manager):
    with pytest.raises(PermissionDenied):
        findings_set(by=manager, repair=handed_back, patterns=[])


def test_a_planner_of_another_site_enters_no_findings(handed_back):
    stranger = UserFactory(role="planner", sees_all_sites=False)
    with pytest.raises(PermissionDenied):
        findings_set(by=stranger, repair=handed_back, patterns=[])


def test_imported_findings_are_corrected_not_set(here, planner, engineer):
    imported = RepairFactory(
        position=here.position,
        state="signed",
        signed_at=timezone.now(),
        is_imported=True,
        **{name: FINISHED[name] for name in ("activity", "failure_mode", "item")},
    )
    with pytest.raises(ValidationError, match="was imported"):
        findings_set(by=planner, repair=imported, patterns=[("coke", "")])
    findings_correct(
        by=engineer, repair=imported, reason="Old report", patterns=[("coke", "")]
    )
    assert seen(imported) == {"coke": ""}


def test_a_void_repair_takes_no_findings(handed_back, planner, engineer):
    repair_void(by=engineer, repair=handed_back, reason="Wrong pump")
    with pytest.raises(ValidationError, match="void"):
        findings_set(by=planner, repair=handed_back, patterns=[])
    assert not findings_open().exists()


def test_an_item_that_was_not_taken_out_is_asked_back(here, planner):
    repair = logged(here, planner, sign=True, item=Item.UNKNOWN)
    with pytest.raises(AsIsAsked):
        findings_set(by=planner, repair=repair, patterns=[], item=Item.SEAL)
    findings_set(
        by=planner, repair=repair, patterns=[], item=Item.SEAL, as_is=NOTHING_MOVED
    )
    assert Repair.objects.get(pk=repair.pk).item == Item.SEAL


def test_what_was_opened_before_somebody_changed_it_is_not_stored(
    handed_back, planner, engineer
):
    opened = handed_back.history.first().history_id
    repair_correct(by=engineer, repair=handed_back, reason="More", text="More")
    with pytest.raises(ValidationError) as error:
        findings_set(by=planner, repair=handed_back, patterns=[], version=opened)
    assert error.value.code == "stale"


def test_open_are_signed_failures_whose_findings_nobody_signed(
    here, handed_back, planner, closed
):
    later = {
        name: FINISHED[name] + timedelta(days=3)
        for name in ("reported_at", "stopped_at", "returned_at")
    }
    waiting = logged(here, planner, sign=True, **later)
    much_later = {name: day + timedelta(days=3) for name, day in later.items()}
    logged(here, planner, sign=True, **much_later, category=Category.PREVENTIVE)
    RepairFactory(position=here.position, category=Category.CORRECTIVE)
    assert list(findings_open()) == [waiting]


def test_open_findings_are_counted_by_the_time_since_the_hand_back(db, planner):
    now = timezone.now()
    for days in (1, 3, 20, 50, 90):
        RepairFactory(
            state="signed",
            signed_at=now,
            stopped_at=now - timedelta(days=days, hours=9),
            returned_at=now - timedelta(days=days),
        )
    assert findings_by_age(planner).in_words() == (
        "Findings are open for 5 repairs: 2 handed back within 7 days, "
        "1 within 30 days, 2 before that."
    )


@pytest.mark.postgresql
@pytest.mark.parametrize("way", ["insert", "update", "delete"])
def test_the_database_refuses_a_change_of_signed_findings(closed, way):
    rows = TeardownFinding.objects.filter(repair=closed)
    changes = {
        "insert": lambda: TeardownFinding(repair=closed, pattern="springs").save(),
        "update": lambda: rows.update(note="else"),
        "delete": lambda: rows.delete(),
    }
    with (
        pytest.raises(DatabaseError, match="corrected only"),
        transaction.atomic(),
    ):
        changes[way]()
    assert seen(closed) == {"coke": ""}


@pytest.mark.postgresql
def test_the_database_takes_patterns_of_a_handed_back_repair(handed_back):
    TeardownFinding(repair=handed_back, pattern="springs").save()
    assert seen(handed_back) == {"springs": ""}
