"""Which repairs begin a new life of the clearances, and which do not."""

import pytest

from plant.choices import Mounting
from plant.models import Position
from records.check_choices import CheckKind, CheckStage
from records.choices import Activity, Item, RepairState
from records.models import SettingCheck
from records.selectors.hydraulic_readings import hydraulic_record
from records.selectors.wet_end import last_opening, openings
from tests.factories.energy import day
from tests.factories.plant import PlacementFactory
from tests.factories.records import RepairFactory

pytestmark = pytest.mark.django_db
UNTIL = day(1000)


@pytest.fixture
def placement():
    return PlacementFactory(pump__mounting=Mounting.OVERHUNG)


def repair(placement, **fields):
    usual = {"reported_at": day(10), "stopped_at": day(10), "returned_at": day(12)}
    usual |= {"position": placement.position, "pump": placement.pump}
    return RepairFactory(**(usual | fields))


def opened_at(placement):
    found = openings(Position.objects.all(), until=UNTIL)
    moment = found.last(placement.pump.pk, placement.position.pk)
    return None if moment is None else moment / 1e6


@pytest.mark.parametrize(
    ("item", "activity", "opens"),
    [
        (Item.IMPELLER, Activity.REPAIR, True),
        (Item.WEAR_RING, Activity.REPLACE, True),
        (Item.SEAL, Activity.REPLACE, True),
        (Item.SEAL, "", True),
        (Item.RADIAL_BEARING, Activity.REPLACE, True),
        (Item.IMPELLER, Activity.ADJUST, True),
        (Item.OIL, Activity.OVERHAUL, True),
        (Item.SEAL, Activity.ADJUST, False),
        (Item.IMPELLER, Activity.INSPECTION, False),
        (Item.RADIAL_BEARING, Activity.SERVICE, False),
        (Item.COUPLING, Activity.REPLACE, False),
        (Item.SEAL_SUPPORT, Activity.REPAIR, False),
    ],
)
def test_work_that_takes_the_rotor_out_opens_the_wet_end(
    placement, item, activity, opens
):
    repair(placement, item=item, activity=activity)
    expected = day(12).timestamp() if opens else None
    assert opened_at(placement) == expected


def test_a_bearing_between_bearings_leaves_the_rotor_in():
    placement = PlacementFactory(pump__mounting=Mounting.BETWEEN)
    repair(placement, item=Item.RADIAL_BEARING, activity=Activity.REPLACE)
    assert opened_at(placement) is None


def test_what_was_also_renewed_counts(placement):
    repair(placement, item=Item.COUPLING, also_renewed=["wear ring"])
    assert opened_at(placement) == day(12).timestamp()


def test_a_clearance_measured_as_left_counts(placement):
    row = repair(placement, item=Item.OILER)
    SettingCheck.objects.create(
        repair=row,
        kind=CheckKind.RUNNING_CLEARANCE,
        stage=CheckStage.LEFT,
        value=0.4,
        entered_value="0.4",
        entered_unit="mm",
    )
    assert opened_at(placement) == day(12).timestamp()


def test_void_repairs_do_not_count_and_the_last_one_does(placement):
    seal = {"item": Item.SEAL, "activity": Activity.REPLACE}
    repair(placement, **seal)
    last = repair(
        placement, **seal, reported_at=day(30), stopped_at=None, returned_at=None
    )
    repair(
        placement,
        **seal,
        reported_at=day(50),
        stopped_at=day(50),
        returned_at=day(51),
        state=RepairState.VOID,
        void_reason="Twice",
        signed_at=day(52),
    )
    assert opened_at(placement) == day(30).timestamp()
    pump, position = placement.pump.pk, placement.position.pk
    assert last_opening(pump=pump, position=position, until=UNTIL) == last


def test_a_repair_of_another_pump_at_the_position_does_not_count(placement):
    other = PlacementFactory().pump
    repair(placement, pump=other, item=Item.SEAL)
    assert opened_at(placement) is None
    repair(placement, pump=None, item=Item.SEAL, returned_at=day(14))
    assert opened_at(placement) == day(14).timestamp()


def test_the_record_and_the_openings_speak_of_the_same_moments(placement):
    repair(placement, item=Item.SEAL, returned_at=day(14))
    record = hydraulic_record(Position.objects.all(), until=UNTIL)
    came = record.standing(placement.position.pk).came
    assert came / 1e6 == placement.placed_at.timestamp()
