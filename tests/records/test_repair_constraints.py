"""What the database itself refuses: impossible repairs, and rewriting signed rows."""

from datetime import timedelta

import pytest
from django.db import IntegrityError, transaction

from records.choices import RepairState
from records.models import ComponentChange, CostLine, HourReading, Repair
from records.services.correction_door import correction_door
from records.services.repair_voids import repair_void
from records.services.repairs import repair_correct, repair_log
from tests.factories.plant import FittedLifeFactory, PositionFactory
from tests.factories.records import CostLineFactory, HourReadingFactory, RepairFactory
from tests.records.plant_at_hand import (
    FINISHED,
    NOTHING_MOVED,
    REPORTED,
    RETURNED,
    STOPPED,
    plant_at_hand,
)

DAY = timedelta(days=1)
SIGNED = {"state": RepairState.SIGNED, "signed_at": RETURNED}


@pytest.fixture
def position(db):
    return PositionFactory()


def refused(change):
    with pytest.raises(IntegrityError) as error, transaction.atomic():
        change()
    return str(error.value)


@pytest.mark.parametrize(
    "wrong",
    [
        {"returned_at": RETURNED},
        {"stopped_at": STOPPED, "returned_at": STOPPED - timedelta(hours=1)},
        {"stopped_at": STOPPED - DAY, "returned_at": REPORTED - timedelta(hours=1)},
        {"state": RepairState.SIGNED},
        {"state": RepairState.VOID, "signed_at": RETURNED},
        {"active_hours": -1.0},
        {"delay_hours": -1.0},
        {"man_hours": -1.0},
    ],
)
def test_impossible_repairs(position, wrong):
    row = Repair(
        site=position.site,
        position=position,
        number="R-1",
        category="corrective",
        **{"reported_at": REPORTED, **wrong},
    )
    refused(lambda: Repair.objects.bulk_create([row]))


def test_a_number_twice_at_one_site(position):
    RepairFactory(position=position, number="R-1")
    refused(lambda: RepairFactory(position=position, number="R-1"))


def test_a_life_taken_out_by_two_repairs(position):
    life = FittedLifeFactory()
    rows = [
        ComponentChange(repair=RepairFactory(), life=life, change="out")
        for _ in range(2)
    ]
    refused(lambda: ComponentChange.objects.bulk_create(rows))


def test_a_currency_that_is_no_code(position):
    refused(lambda: CostLineFactory(currency="eur"))


def test_a_line_replaced_by_two_lines(position):
    line = CostLineFactory()
    CostLineFactory(repair=line.repair, replaces=line)
    refused(lambda: CostLineFactory(repair=line.repair, replaces=line))


def test_a_meter_below_zero_or_read_twice_at_once(position):
    refused(lambda: HourReadingFactory(position=position, meter_hours=-1.0))
    first = HourReadingFactory(position=position)
    refused(lambda: HourReadingFactory(position=position, read_at=first.read_at))
    assert HourReading.objects.count() == 1


SENTENCE = "signed rows are corrected, never overwritten or deleted"


@pytest.mark.postgresql
def test_a_signed_repair_is_not_rewritten_in_sql(position):
    repair = RepairFactory(position=position, **SIGNED)
    rows = Repair.objects.filter(pk=repair.pk)
    assert SENTENCE in refused(lambda: rows.update(text="Rewritten"))
    assert SENTENCE in refused(lambda: rows._raw_delete("default"))
    repair.refresh_from_db()
    assert repair.text == ""


@pytest.mark.postgresql
def test_a_void_repair_is_not_revived_in_sql(position):
    repair = RepairFactory(
        position=position,
        state=RepairState.VOID,
        signed_at=RETURNED,
        void_reason="Wrong pump",
    )
    rows = Repair.objects.filter(pk=repair.pk)
    assert SENTENCE in refused(lambda: rows.update(state=RepairState.SIGNED))


@pytest.mark.postgresql
def test_a_draft_may_still_change_in_sql(position):
    repair = RepairFactory(position=position)
    assert Repair.objects.filter(pk=repair.pk).update(text="More") == 1


@pytest.mark.postgresql
def test_a_cost_line_is_neither_changed_nor_deleted_in_sql(position):
    line = CostLineFactory()
    rows = CostLine.objects.filter(pk=line.pk)
    assert SENTENCE in refused(lambda: rows.update(amount=1))
    assert SENTENCE in refused(lambda: rows._raw_delete("default"))


@pytest.mark.postgresql
def test_the_door_is_shut_again_after_a_correction(planner, engineer, db):
    here = plant_at_hand()
    repair = repair_log(
        by=planner,
        position=here.position,
        sign=True,
        as_is=NOTHING_MOVED,
        **FINISHED,
    )
    repair_correct(by=engineer, repair=repair, reason="Shop report", cause="2.2")
    rows = Repair.objects.filter(pk=repair.pk)
    assert SENTENCE in refused(lambda: rows.update(cause="3.1"))
    repair_void(by=engineer, repair=repair, reason="Wrong pump")
    assert SENTENCE in refused(lambda: rows.update(cause="3.1"))


@pytest.mark.postgresql
def test_the_door_is_shut_again_when_a_correction_fails(position):
    repair = RepairFactory(position=position, **SIGNED)

    def fail():
        with correction_door():
            Repair.objects.filter(pk=repair.pk).update(text="Half done")
            raise IntegrityError("stopped half-way")

    refused(fail)
    repair.refresh_from_db()
    assert repair.text == ""
    rows = Repair.objects.filter(pk=repair.pk)
    assert SENTENCE in refused(lambda: rows.update(text="Rewritten"))


def test_inside_the_door_a_signed_row_changes_on_both_engines(position):
    repair = RepairFactory(position=position, **SIGNED)
    with correction_door():
        Repair.objects.filter(pk=repair.pk).update(text="Corrected")
    repair.refresh_from_db()
    assert repair.text == "Corrected"
