"""Which checks are offered, and which limit holds."""

import pytest

from plant.choices import Coupling, ImpellerKind, Mounting
from records.check_choices import Certainty, CheckKind
from records.models import CheckLimit
from records.selectors.check_limits import limits_for, limits_of_repair
from tests.factories.plant import PlacementFactory, PositionFactory, PumpFactory
from tests.factories.records import RepairFactory

ALIGNMENT = {CheckKind.OFFSET, CheckKind.ANGULARITY}


def placed(pump=None, **duty):
    position = PositionFactory(**duty)
    facts = {"design": "end suction", "size": "80-50-200", **(pump or {})}
    PlacementFactory(position=position, pump=PumpFactory(site=position.site, **facts))
    return position


def offered(position):
    return {check.kind: check for check in limits_for([position])[position.pk]}


def own_limit(position, kind=CheckKind.SQUARENESS, **facts):
    return CheckLimit.objects.create(
        **{
            "site": position.site,
            "kind": kind,
            "high": 0.05,
            "source": "Site rule 4",
            "certainty": Certainty.SITE,
            **facts,
        }
    )


def test_what_is_not_known_of_a_pump_is_offered(db):
    assert set(offered(placed())) == set(CheckKind)


def test_a_position_without_a_pump_is_offered_everything(db):
    assert set(offered(PositionFactory())) == set(CheckKind)


@pytest.mark.parametrize(
    ("pump", "duty", "missing"),
    [
        ({"mounting": Mounting.BETWEEN}, {}, {CheckKind.DEFLECTION}),
        (
            {"mounting": Mounting.VERTICAL},
            {},
            {CheckKind.DEFLECTION, CheckKind.SOFT_FOOT},
        ),
        ({"impeller_kind": ImpellerKind.CLOSED}, {}, {CheckKind.RUNNING_CLEARANCE}),
        ({"impeller_kind": ImpellerKind.OPEN}, {}, {CheckKind.WEAR_RING}),
        ({"has_sleeve": False}, {}, {CheckKind.SLEEVE_RUNOUT}),
        ({}, {"coupling": Coupling.CLOSE}, ALIGNMENT | {CheckKind.PIPE_STRAIN}),
    ],
)
def test_the_design_decides_what_is_offered(db, pump, duty, missing):
    assert set(CheckKind) - set(offered(placed(pump, **duty))) == missing


def test_alignment_follows_speed_and_coupling(db):
    short = offered(placed(coupling=Coupling.SHORT, speed_rpm=2950))
    assert short[CheckKind.OFFSET].high == 0.06
    assert short[CheckKind.ANGULARITY].high == 0.04
    long = offered(
        placed(coupling=Coupling.SPACER, spacer_length_mm=140, speed_rpm=1480)
    )
    # 0.12 mm for each 100 mm of spacer; 1.2 mrad is 0.12 mm over 100 mm.
    assert long[CheckKind.OFFSET].high == pytest.approx(0.168)
    assert long[CheckKind.ANGULARITY].high == pytest.approx(0.12)


@pytest.mark.parametrize(
    ("duty", "sentence"),
    [
        ({"speed_rpm": 2950}, "No limit: the coupling is not recorded."),
        ({"coupling": Coupling.SHORT}, "No limit: the speed is not recorded."),
        (
            {"coupling": Coupling.SPACER, "speed_rpm": 2950},
            "No limit: the length of the spacer is not recorded.",
        ),
        (
            {"coupling": Coupling.SHORT, "speed_rpm": 9000},
            "No limit: The alignment table ends at 6000 r/min.",
        ),
    ],
)
def test_alignment_without_its_facts_says_what_is_missing(db, duty, sentence):
    check = offered(placed(**duty))[CheckKind.OFFSET]
    assert (check.low, check.high, check.source) == (None, None, sentence)
    assert not check.has_limit


def test_balance_needs_the_mass_of_the_rotor(db):
    position = placed(speed_rpm=2950)
    assert offered(position)[CheckKind.BALANCE].source.startswith("No limit: give")
    repair = RepairFactory(position=position)
    limit = limits_of_repair(repair, rotor_mass_kg=40)[CheckKind.BALANCE]
    # 9549 G m / n of ISO 21940-11.
    assert limit.high == pytest.approx(9549.3 * 6.3 * 40 / 2950, rel=1e-4)
    assert "40 kg at 2,950 r/min" in limit.source


def test_a_hot_pump_is_set_wider_while_cold(db):
    assert offered(placed(temperature_c=60))[CheckKind.RUNNING_CLEARANCE].high == 0.5
    hot = offered(placed(temperature_c=190))[CheckKind.RUNNING_CLEARANCE]
    assert (hot.low, hot.high) == (0.5, 0.6)
    assert hot.certainty == Certainty.PRACTICE


def test_the_limit_of_a_site_goes_before_the_one_shipped(db):
    position = placed()
    assert offered(position)[CheckKind.SQUARENESS].high == 0.10
    own_limit(position)
    limit = offered(position)[CheckKind.SQUARENESS]
    assert (limit.high, limit.source, limit.certainty) == (
        0.05,
        "Site rule 4",
        Certainty.SITE,
    )


def test_the_limit_of_another_site_holds_nothing_here(db):
    position = placed()
    own_limit(placed())
    assert offered(position)[CheckKind.SQUARENESS].high == 0.10


def test_of_several_limits_the_one_that_names_most_holds(db):
    position = placed()
    own_limit(position, high=0.05)
    own_limit(position, high=0.04, design="End suction")
    own_limit(position, high=0.03, design="end suction", size="80-50-200")
    own_limit(position, high=0.02, design="vertical", size="80-50-200")
    assert offered(position)[CheckKind.SQUARENESS].high == 0.03


def test_many_positions_take_as_many_queries_as_one(db, django_assert_num_queries):
    places = [placed() for _ in range(3)]
    own_limit(places[0])
    with django_assert_num_queries(2):
        limits_for(places[:1])
    with django_assert_num_queries(2):
        limits_for(places)
