"""Logging a repair with its components and costs, through the service."""

from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest
from django.core.exceptions import PermissionDenied, ValidationError

from plant.choices import ConditionFound, Ending, WhyRemoved
from plant.endings import ending_of
from plant.models import FittedLife
from records.choices import Category, CostKind, CostStatus, Item
from records.models import CostLine, HourReading, Repair
from records.services.component_rows import ComponentOut, RowRefused
from records.services.costs import CostEntry
from records.services.repairs import repair_log
from tests.factories.plant import PositionFactory, PumpFactory, UserFactory
from tests.records.plant_at_hand import (
    FINISHED,
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


def test_a_seal_swap_closes_one_life_and_opens_another(here, planner):
    repair = repair_log(
        by=planner,
        position=here.position,
        components_out=[seal_out(here)],
        components_in=[seal_in(part_number="PART-8", serial="S-2")],
        **FINISHED,
    )
    here.seal.refresh_from_db()
    assert here.seal.removed_at == STOPPED
    assert here.seal.ended_at == REPORTED
    new = FittedLife.objects.get(part_number="PART-8")
    assert new.fitted_at == RETURNED
    assert new.started_at == RETURNED
    assert new.position == here.position
    assert repair.pump == here.pump
    assert repair.component_changes.count() == 2


def test_a_component_taken_out_sound_ends_at_the_stop(here, planner):
    repair_log(
        by=planner,
        position=here.position,
        components_out=[
            ComponentOut(
                life=here.bearing,
                why_removed=WhyRemoved.PRACTICE,
                defect_detected=False,
                condition_found=ConditionFound.GOOD,
            )
        ],
        **FINISHED,
    )
    here.bearing.refresh_from_db()
    assert here.bearing.ended_at == STOPPED
    ending = ending_of(
        removed_at=here.bearing.removed_at,
        started_at=here.bearing.fitted_at,
        ended_at=here.bearing.ended_at,
        defect_detected=here.bearing.defect_detected,
        condition_found=here.bearing.condition_found,
        why_removed=here.bearing.why_removed,
    )
    assert ending == Ending.SOUND


def test_a_pump_that_tripped_before_the_report_ends_its_seal_at_the_stop(here, planner):
    times = {**FINISHED, "reported_at": STOPPED + timedelta(hours=3)}
    repair_log(
        by=planner,
        position=here.position,
        components_out=[seal_out(here)],
        **times,
    )
    here.seal.refresh_from_db()
    assert here.seal.ended_at == STOPPED


def test_numbers_run_per_site_and_year(here, planner):
    first = repair_log(by=planner, position=here.position, **FINISHED)
    other = PositionFactory(area=here.position.area)
    second = repair_log(by=planner, position=other, **FINISHED)
    assert first.number == "NWP-2024-0001"
    assert second.number == "NWP-2024-0002"


def test_numbers_typed_by_hand_do_not_disturb_the_running_one(here, planner):
    repair_log(by=planner, position=here.position, number="NWP-2024-12a", **FINISHED)
    other = PositionFactory(area=here.position.area)
    assert repair_log(by=planner, position=other, **FINISHED).number == "NWP-2024-0001"


def test_a_number_that_is_taken_is_refused(here, planner):
    repair_log(by=planner, position=here.position, number="R-1", **FINISHED)
    other = PositionFactory(area=here.position.area)
    with pytest.raises(ValidationError, match="R-1 is taken by the repair of P-101"):
        repair_log(by=planner, position=other, number="R-1", **FINISHED)


def test_costs_and_meter_are_stored_with_the_repair(here, planner):
    repair = repair_log(
        by=planner,
        position=here.position,
        costs=[CostEntry(CostKind.PARTS, Decimal("812.40"), CostStatus.ESTIMATE)],
        meter_hours=12000.0,
        **FINISHED,
    )
    line = repair.cost_lines.get()
    assert (line.amount, line.currency, line.entered_by) == (
        Decimal("812.40"),
        "EUR",
        planner,
    )
    assert HourReading.objects.get().read_at == STOPPED


@pytest.mark.parametrize(
    ("changes", "field", "sentence"),
    [
        ({"stopped_at": None}, "stopped_at", "so say when it was stopped"),
        (
            {"returned_at": STOPPED - timedelta(minutes=1)},
            "returned_at",
            "It was stopped only on 2024-03-01 10:00.",
        ),
        (
            {
                "reported_at": RETURNED + timedelta(hours=1),
            },
            "returned_at",
            "It was reported only on 2024-03-02 16:00.",
        ),
        (
            {"reported_at": datetime(2999, 1, 1, tzinfo=UTC), "returned_at": None},
            "reported_at",
            "This time is still to come.",
        ),
        ({"active_hours": -1.0}, "active_hours", "Hours are zero or more"),
    ],
)
def test_impossible_times_are_refused(here, planner, changes, field, sentence):
    with pytest.raises(ValidationError) as refused:
        repair_log(by=planner, position=here.position, **{**FINISHED, **changes})
    assert sentence in refused.value.message_dict[field][0]
    assert not Repair.objects.exists()


def test_a_pump_that_stood_elsewhere_is_refused(here, planner):
    stranger = PumpFactory(site=here.site, serial_number="SN-9")
    with pytest.raises(ValidationError, match="SN-9 did not stand at P-101"):
        repair_log(by=planner, position=here.position, pump=stranger, **FINISHED)


def test_shop_work_on_a_pump_from_the_store_names_its_repair(here, planner):
    stoppage = repair_log(by=planner, position=here.position, **FINISHED)
    spare = PumpFactory(site=here.site, serial_number="SN-9")
    shop = repair_log(
        by=planner,
        position=here.position,
        pump=spare,
        reported_at=RETURNED,
        category=Category.CORRECTIVE,
        shop_work_of=stoppage,
    )
    assert shop.shop_work_of == stoppage


def test_shop_work_stays_at_its_position(here, planner):
    stoppage = repair_log(by=planner, position=here.position, **FINISHED)
    other = PositionFactory(area=here.position.area, tag="P-102")
    with pytest.raises(ValidationError, match="Choose a repair of P-102"):
        repair_log(by=planner, position=other, shop_work_of=stoppage, **FINISHED)


def test_nothing_is_stored_when_the_last_part_fails(here, planner):
    with pytest.raises(ValidationError, match="An amount is zero or more"):
        repair_log(
            by=planner,
            position=here.position,
            components_out=[seal_out(here)],
            components_in=[seal_in()],
            costs=[CostEntry(CostKind.PARTS, Decimal(-5), CostStatus.BOOKED)],
            **FINISHED,
        )
    here.seal.refresh_from_db()
    assert here.seal.removed_at is None
    assert not Repair.objects.exists()
    assert not CostLine.objects.exists()
    assert FittedLife.objects.count() == 2


def test_a_life_already_taken_out_is_refused_by_its_row(here, planner):
    repair_log(
        by=planner,
        position=here.position,
        components_out=[seal_out(here)],
        **FINISHED,
    )
    with pytest.raises(RowRefused, match="was already taken out on 2024-03-01 10:00"):
        repair_log(
            by=planner,
            position=here.position,
            components_out=[seal_out(here)],
            save_anyway=True,
            **FINISHED,
        )


def test_a_taken_place_is_refused_by_its_row(here, planner):
    with pytest.raises(RowRefused) as refused:
        repair_log(
            by=planner, position=here.position, components_in=[seal_in()], **FINISHED
        )
    assert (refused.value.kind, refused.value.index) == ("in", 0)
    assert "Take that one out first." in refused.value.messages[0]


def test_a_removal_needs_its_reason(here, planner):
    with pytest.raises(RowRefused, match="Say why it was taken out."):
        repair_log(
            by=planner,
            position=here.position,
            components_out=[seal_out(here, why_removed="")],
            **FINISHED,
        )


def test_a_component_of_another_pump_is_refused(here, planner):
    other = plant_at_hand("P-201", "SN-2")
    with pytest.raises(RowRefused, match="is not a component of pump SN-1"):
        repair_log(
            by=planner,
            position=here.position,
            components_out=[seal_out(other)],
            **FINISHED,
        )


def test_components_need_a_known_pump(planner):
    position = PositionFactory(tag="P-300")
    with pytest.raises(ValidationError, match="No pump is known at P-300"):
        repair_log(by=planner, position=position, components_in=[seal_in()], **FINISHED)


def test_the_same_event_is_asked_back(here, planner):
    first = repair_log(by=planner, position=here.position, **FINISHED)
    again = {**FINISHED, "reported_at": REPORTED + timedelta(minutes=59)}
    with pytest.raises(ValidationError, match=f"This looks like {first.number}"):
        repair_log(by=planner, position=here.position, **again)
    repair_log(by=planner, position=here.position, save_anyway=True, **again)
    assert Repair.objects.count() == 2


def test_another_item_or_hour_is_another_event(here, planner):
    repair_log(by=planner, position=here.position, **FINISHED)
    repair_log(
        by=planner, position=here.position, **{**FINISHED, "item": Item.COUPLING}
    )
    repair_log(
        by=planner,
        position=here.position,
        **{**FINISHED, "reported_at": REPORTED + timedelta(hours=1)},
    )
    assert Repair.objects.count() == 3


def test_managers_log_no_repair(here, manager):
    with pytest.raises(PermissionDenied, match="Your role does not include this"):
        repair_log(by=manager, position=here.position, **FINISHED)


def test_planners_of_another_site_log_no_repair(here):
    stranger = UserFactory(role="planner", sees_all_sites=False)
    with pytest.raises(PermissionDenied, match="You do not work at North works"):
        repair_log(by=stranger, position=here.position, **FINISHED)


def test_unknown_fields_are_an_error_of_the_program(here, planner):
    with pytest.raises(TypeError, match="state is not a field"):
        repair_log(by=planner, position=here.position, state="signed", **FINISHED)
