"""What the bench of the demo plant measured and saw."""

import pytest

from plant.models import Position, Pump
from records.check_choices import CheckKind, CheckStage
from records.choices import RepairState
from records.models import Repair, SettingCheck, TeardownFinding
from records.selectors.findings import are_findings_open, findings_open
from records.teardown_patterns import PATTERN_BY_CODE

pytestmark = pytest.mark.usefixtures("demo", "db")


def out_of_limit(kind):
    rows = SettingCheck.objects.filter(kind=kind, stage=CheckStage.LEFT)
    rows = rows.select_related("repair__pump", "repair__position__area")
    return [check for check in rows if check.is_out_of_limit]


def test_the_cover_of_the_travelling_pull_out_is_never_square():
    crooked = out_of_limit(CheckKind.SQUARENESS)
    assert {check.repair.pump.serial_number for check in crooked} == {"HW-0613"}
    of_it = SettingCheck.objects.filter(
        kind=CheckKind.SQUARENESS, repair__pump__serial_number="HW-0613"
    )
    assert len(crooked) == of_it.count() > 3


def test_couplings_are_out_of_line_where_seals_die_young():
    areas = {c.repair.position.area.name for c in out_of_limit(CheckKind.OFFSET)}
    assert areas == {"Chlorination"}
    assert len(out_of_limit(CheckKind.OFFSET)) > 20


def test_whatever_stays_out_of_limit_has_its_reason():
    for kind in CheckKind:
        assert all(check.out_of_limit_reason for check in out_of_limit(kind))


def test_patterns_fit_the_item_and_the_mechanism_of_their_repair():
    rows = TeardownFinding.objects.select_related("repair")
    assert len(rows) > 100
    for row in rows:
        pattern = PATTERN_BY_CODE[row.pattern]
        assert row.repair.item in pattern.items
        assert row.repair.mechanism in pattern.mechanisms


def test_some_findings_are_still_open_and_their_repairs_are_recent():
    still_open = findings_open()
    assert 5 <= still_open.count() <= 30
    assert all(are_findings_open(repair) for repair in still_open)
    assert not still_open.exclude(mechanism="").exists()
    assert Repair.objects.filter(state=RepairState.DRAFT).count() == 2


def test_the_register_says_how_pumps_and_couplings_are_built():
    assert not Pump.objects.filter(mounting="").exists()
    assert set(Pump.objects.values_list("impeller_kind", flat=True)) == {
        "semi-open",
        "closed",
    }
    spacers = Position.objects.filter(coupling="spacer")
    assert spacers.exists()
    assert not spacers.filter(spacer_length_mm=None).exists()
