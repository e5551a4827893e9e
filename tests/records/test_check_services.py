"""Checks of a repair: stored in SI, frozen with their limit, then only corrected."""

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.db import DatabaseError, transaction

from plant.choices import Coupling
from records.check_choices import Certainty, CheckKind, CheckStage
from records.models import CheckLimit, SettingCheck
from records.services.checks import (
    CheckEntry,
    CheckRefused,
    checks_correct,
    checks_set,
    checks_version,
)
from records.services.repairs import repair_log, repair_sign
from tests.records.plant_at_hand import FINISHED, NOTHING_MOVED, plant_at_hand

LEFT, FOUND = CheckStage.LEFT, CheckStage.FOUND


@pytest.fixture
def here(db):
    return plant_at_hand()


@pytest.fixture
def draft(here, planner):
    return repair_log(by=planner, position=here.position, **FINISHED)


@pytest.fixture
def signed(here, planner):
    return signed_with(here, planner, entry())


def signed_with(here, planner, *checks):
    repair = repair_log(by=planner, position=here.position, **FINISHED)
    checks_set(by=planner, repair=repair, checks=checks)
    return repair_sign(by=planner, repair=repair, as_is=NOTHING_MOVED)


def entry(kind=CheckKind.SQUARENESS, value="0.04", stage=LEFT, **facts):
    return CheckEntry(kind=kind, stage=stage, entered_value=value, **facts)


def one(repair, **where) -> SettingCheck:
    return repair.checks.get(**where)


@pytest.mark.parametrize(
    ("typed", "unit", "stored"),
    [
        ("0,05", "", 0.05),
        ("0.05", "mm", 0.05),
        ("2", "mil", 0.0508),
        ("50", "µm", 0.05),
        (".002", "inch", 0.0508),
        ("0,002", "inch", 0.0508),
    ],
)
def test_a_value_is_stored_in_millimetres_with_what_was_typed(
    draft, planner, typed, unit, stored
):
    checks_set(
        by=planner,
        repair=draft,
        checks=[entry(CheckKind.END_PLAY, typed, FOUND, entered_unit=unit)],
    )
    check = one(draft)
    assert check.value == stored
    assert (check.entered_value, check.entered_unit) == (typed, unit or "mm")
    assert check.entered_by == planner
    assert check.measured_at is not None


def test_an_angle_can_be_typed_in_milliradians(draft, planner):
    checks_set(
        by=planner,
        repair=draft,
        checks=[entry(CheckKind.ANGULARITY, "0,7", entered_unit="mrad")],
    )
    assert one(draft).value == pytest.approx(0.07)


def test_a_check_keeps_the_limit_that_was_shown(draft, planner):
    checks_set(by=planner, repair=draft, checks=[entry()])
    check = one(draft)
    assert (check.limit_low, check.limit_high) == (None, 0.10)
    CheckLimit.objects.create(
        site=draft.site,
        kind=CheckKind.SQUARENESS,
        high=0.02,
        source="Site rule",
        certainty=Certainty.SITE,
    )
    checks_set(by=planner, repair=draft, checks=[entry()])
    assert one(draft).limit_high == 0.10


def test_a_value_measured_again_gets_the_limit_of_now(draft, planner):
    checks_set(by=planner, repair=draft, checks=[entry()])
    CheckLimit.objects.create(
        site=draft.site,
        kind=CheckKind.SQUARENESS,
        high=0.2,
        source="Site rule",
        certainty=Certainty.SITE,
    )
    checks_set(by=planner, repair=draft, checks=[entry(value="0.15")])
    assert one(draft).limit_high == 0.2
    assert one(draft).limit_source == "Site rule"


@pytest.mark.parametrize(
    ("refused", "field"),
    [
        (entry(value=""), "entered_value"),
        (entry(value="much"), "entered_value"),
        (entry(value="inf"), "entered_value"),
        (entry(value="-0.02"), "entered_value"),
        (entry(value="90"), "entered_value"),
        (entry(value="1,250"), "entered_value"),
        (entry(entered_unit="furlong"), "entered_unit"),
        (entry(not_measured_reason="No indicator"), "not_measured_reason"),
        (entry(kind="colour"), "kind"),
        (entry(stage="later"), "stage"),
        (entry(value="0.2"), "out_of_limit_reason"),
        (entry(instrument="x" * 61), "instrument"),
        (entry(CheckKind.BALANCE, "40", rotor_mass_kg="-1"), "rotor_mass_kg"),
    ],
)
def test_what_cannot_be_is_refused_by_row_and_field(draft, planner, refused, field):
    with pytest.raises(CheckRefused) as error:
        checks_set(by=planner, repair=draft, checks=[entry(CheckKind.LIFT), refused])
    assert (error.value.index, error.value.field) == (1, field)
    assert not draft.checks.exists()


def test_out_of_limit_as_left_is_stored_with_its_reason(draft, planner):
    checks_set(
        by=planner,
        repair=draft,
        checks=[entry(value="0.2", out_of_limit_reason="New cover on order")],
    )
    assert one(draft).is_out_of_limit


def test_out_of_limit_as_found_needs_no_reason(draft, planner):
    checks_set(by=planner, repair=draft, checks=[entry(value="0.2", stage=FOUND)])
    assert one(draft).is_out_of_limit


def test_not_measured_is_an_answer_with_its_reason(draft, planner):
    checks_set(
        by=planner,
        repair=draft,
        checks=[entry(value="", not_measured_reason="No indicator at hand")],
    )
    check = one(draft)
    assert check.value is None
    assert not check.is_out_of_limit
    assert (check.entered_unit, check.not_measured_reason) == (
        "",
        "No indicator at hand",
    )


def test_the_mass_of_the_rotor_gives_balance_its_limit(here, draft, planner):
    here.position.speed_rpm = 2950
    here.position.save()
    with pytest.raises(CheckRefused) as error:
        checks_set(
            by=planner,
            repair=draft,
            checks=[entry(CheckKind.BALANCE, "900", rotor_mass_kg="40")],
        )
    assert error.value.field == "out_of_limit_reason"
    checks_set(by=planner, repair=draft, checks=[entry(CheckKind.BALANCE, "900")])
    check = one(draft)
    assert check.limit_high is None
    assert check.limit_source.startswith("No limit")


def test_the_alignment_limit_is_that_of_speed_and_coupling(here, draft, planner):
    here.position.speed_rpm, here.position.coupling = 2950, Coupling.SHORT
    here.position.save()
    checks_set(by=planner, repair=draft, checks=[entry(CheckKind.OFFSET, "0.05")])
    assert one(draft).limit_high == 0.06


def test_the_same_check_twice_is_refused(draft, planner):
    with pytest.raises(CheckRefused) as error:
        checks_set(by=planner, repair=draft, checks=[entry(), entry(value="0.05")])
    assert error.value.index == 1


def test_what_is_no_longer_among_them_is_taken_away_and_kept_in_history(draft, planner):
    checks_set(by=planner, repair=draft, checks=[entry(), entry(CheckKind.LIFT)])
    checks_set(by=planner, repair=draft, checks=[entry()])
    assert [check.kind for check in draft.checks.all()] == [CheckKind.SQUARENESS]
    history = SettingCheck.history.filter(kind=CheckKind.LIFT).order_by("history_id")
    assert [row.history_type for row in history] == ["+", "-"]
    assert history[1].history_user == planner


def test_storing_the_same_again_writes_no_history(draft, planner):
    checks_set(by=planner, repair=draft, checks=[entry()])
    before = checks_version(draft)
    checks_set(by=planner, repair=draft, checks=[entry()])
    assert checks_version(draft) == before


def test_what_somebody_else_stored_meanwhile_is_not_overwritten(
    draft, planner, engineer
):
    opened = checks_version(draft)
    checks_set(by=engineer, repair=draft, checks=[entry()])
    with pytest.raises(ValidationError) as error:
        checks_set(by=planner, repair=draft, checks=[], version=opened)
    assert error.value.code == "stale"
    assert draft.checks.count() == 1


def test_checks_of_a_signed_repair_are_not_set(signed, planner):
    with pytest.raises(ValidationError, match="corrected, with a reason"):
        checks_set(by=planner, repair=signed, checks=[entry(value="0.05")])


def test_an_engineer_corrects_them_with_a_reason(signed, engineer):
    checks_correct(
        by=engineer,
        repair=signed,
        checks=[entry(value="0.4", out_of_limit_reason="Pump was needed")],
        reason="Typed a nought too many",
    )
    check = one(signed)
    assert (check.value, check.limit_high) == (0.4, 0.10)
    newest = check.history.first()
    assert newest.history_user == engineer
    assert newest.history_change_reason == "Typed a nought too many"


def test_a_correction_keeps_the_limit_once_shown(signed, engineer):
    CheckLimit.objects.create(
        site=signed.site,
        kind=CheckKind.SQUARENESS,
        high=0.01,
        source="Site rule",
        certainty=Certainty.SITE,
    )
    checks_correct(
        by=engineer, repair=signed, checks=[entry(value="0.05")], reason="Misread"
    )
    assert one(signed).limit_high == 0.10


def test_a_correction_without_reason_is_refused(signed, engineer):
    with pytest.raises(ValidationError, match="reason"):
        checks_correct(by=engineer, repair=signed, checks=[], reason=" ")


def test_a_planner_cannot_correct_them(signed, planner):
    with pytest.raises(PermissionDenied):
        checks_correct(by=planner, repair=signed, checks=[], reason="Because")


def test_a_manager_cannot_enter_them(draft, manager):
    with pytest.raises(PermissionDenied):
        checks_set(by=manager, repair=draft, checks=[entry()])


@pytest.mark.postgresql
@pytest.mark.parametrize("way", ["insert", "update", "delete"])
def test_the_database_refuses_a_check_of_a_signed_repair(signed, way):
    check = one(signed)
    changes = {
        "insert": lambda: SettingCheck(
            repair=signed, kind=CheckKind.LIFT, stage=LEFT, value=0.01
        ).save(),
        "update": lambda: SettingCheck.objects.filter(pk=check.pk).update(value=0.01),
        "delete": lambda: SettingCheck.objects.filter(pk=check.pk).delete(),
    }
    with (
        pytest.raises(DatabaseError, match="corrected only"),
        transaction.atomic(),
    ):
        changes[way]()
    assert one(signed).value == 0.04
