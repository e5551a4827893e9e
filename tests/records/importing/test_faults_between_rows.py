"""What single cells cannot show: doubles, overlaps, references, stored facts."""

from datetime import UTC, datetime

import pytest

from plant.access import shell_user
from plant.models import FittedLife
from records.models import Repair
from tests.factories.plant import (
    AreaFactory,
    FittedLifeFactory,
    PlacementFactory,
    PositionFactory,
    PumpFactory,
    SiteFactory,
)
from tests.records.importing.sheets import as_csv, faults, fleet, stored

pytestmark = pytest.mark.django_db


def only(**rows):
    """Faults of some sheets alone: the heading of the sound fleet, these rows."""
    heads = {sheet: FLEET_ROWS[0] for sheet, FLEET_ROWS in fleet().items()}
    tables = {sheet: [heads[sheet], *lines] for sheet, lines in rows.items()}
    return faults(as_csv(tables), shell_user())


def test_a_number_given_twice():
    tables = fleet()
    tables["repairs"].append(list(tables["repairs"][1]))
    assert faults(as_csv(tables), shell_user()) == [
        (
            "repairs",
            3,
            "repair_number",
            "This number is already in row 2: give each its own.",
        )
    ]


def test_a_tag_given_twice():
    tables = fleet(positions__2__tag="P-101A", pumps__2__tag="")
    tables["pumps"][2][3] = ""
    assert faults(as_csv(tables), shell_user()) == [
        (
            "positions",
            3,
            "tag",
            "This tag is already in row 2: keep one of the two.",
        )
    ]


def test_rows_of_one_pump_must_agree():
    tables = fleet(pumps__1__removed_on="2020-06-01")
    tables["pumps"].append(["SN-1", "between bearings", "P-101A", "2020-07-01", ""])
    assert faults(as_csv(tables), shell_user()) == [
        (
            "pumps",
            4,
            "design",
            "Row 2 says overhung end suction: make them agree.",
        )
    ]


def test_a_tag_holds_one_pump():
    tables = fleet(pumps__2__tag="P-101A")
    assert faults(as_csv(tables), shell_user()) == [
        (
            "pumps",
            3,
            "placed_on",
            "By row 2 pump SN-1 is there then: a tag holds one pump.",
        )
    ]


def test_a_pump_is_at_one_tag():
    tables = fleet()
    tables["pumps"][2] = ["SN-1", "overhung end suction", "P-101B", "2020-05-01", ""]
    assert faults(as_csv(tables), shell_user()) == [
        (
            "pumps",
            3,
            "placed_on",
            "By row 2 the pump is at P-101A then: a pump is at one place.",
        )
    ]


def test_a_pump_may_leave_and_another_come_on_the_same_day():
    tables = fleet(pumps__1__removed_on="2022-01-01")
    tables["pumps"].append(["SN-3", "", "P-101A", "2022-01-01", ""])
    assert faults(as_csv(tables), shell_user()) == []


def test_a_placement_meets_one_that_is_stored():
    site = SiteFactory(name="North works")
    position = PositionFactory(area__site=site, tag="P-7")
    PlacementFactory(position=position, pump__serial_number="SN-70")
    assert only(pumps=[["SN-71", "", "P-7", "2021-01-01", ""]]) == [
        (
            "pumps",
            2,
            "placed_on",
            "By the register pump SN-70 is there then: a tag holds one pump.",
        )
    ]


def test_two_seals_do_not_stand_in_one_place():
    tables = fleet(components__2__fitted_on="2021-02-01")
    assert faults(as_csv(tables), shell_user()) == [
        (
            "components",
            3,
            "fitted_on",
            "By row 2 one stands there from 2020-01-01 00:00 UTC, until 2021-03-01 "
            "00:00 UTC: one component at a time.",
        )
    ]


def test_a_seal_meets_one_that_is_stored():
    pump = PumpFactory(serial_number="SN-5")
    FittedLifeFactory(pump=pump, fitted_at=datetime(2020, 5, 1, tzinfo=UTC))
    line = ["SN-5", "seal", "single", "2021-01-01", "known", "", "", "", "", ""]
    assert only(components=[line]) == [
        (
            "components",
            2,
            "fitted_on",
            "By the log one stands there from 2020-05-01 00:00 UTC, still in: one "
            "component at a time.",
        )
    ]


def test_a_stored_life_is_filled_in_but_not_rewritten():
    stored(as_csv(fleet()), shell_user())
    tables = fleet(components__1__removed_hours="5001")
    assert faults(as_csv(tables), shell_user()) == [
        (
            "components",
            2,
            "removed_hours",
            "The log says 5000: correct it there.",
        )
    ]
    assert FittedLife.objects.get(removed_hours=5000)


def test_a_stored_repair_is_not_rewritten():
    stored(as_csv(fleet()), shell_user())
    tables = fleet(repairs__1__mechanism="2.2", repairs__1__parts_cost="99")
    assert faults(as_csv(tables), shell_user()) == [
        (
            "repairs",
            2,
            "mechanism",
            "Repair R-1 is in the log with 2.4 here: an import corrects nothing, "
            "correct it there.",
        ),
        (
            "repairs",
            2,
            "parts_cost",
            "Repair R-1 is in the log with 1234.50 here: an import corrects nothing, "
            "correct it there.",
        ),
    ]
    assert Repair.objects.get().mechanism == "2.4"


def test_a_tag_at_two_sites_needs_the_site():
    for name in ("North works", "South works"):
        area = AreaFactory(site=SiteFactory(name=name))
        PositionFactory(area=area, site=area.site, tag="P-1")
    line = ["R-9", "P-1", "", "2021-03-01", "", "", "preventive", *[""] * 5]
    assert only(repairs=[line]) == [
        (
            "repairs",
            2,
            "tag",
            "This tag exists at North works and South works: add a column site that "
            "says which.",
        )
    ]
    tables = {"repairs": [[*fleet()["repairs"][0], "site"], [*line, "South works"]]}
    stored(as_csv(tables), shell_user())
    assert Repair.objects.get().site.name == "South works"


def test_a_serial_number_of_two_makers_needs_the_maker():
    site = SiteFactory(name="North works")
    for maker in ("Alpha", "Beta"):
        PumpFactory(site=site, serial_number="SN-5", maker=maker)
    line = ["SN-5", "seal", "single", "2021-01-01", "known", "", "", "", "", ""]
    assert only(components=[line]) == [
        (
            "components",
            2,
            "serial_number",
            "Several makers use this number (Alpha, Beta): add a column maker that "
            "says which.",
        )
    ]


def test_a_repair_without_tag_and_pump_says_what_it_needs():
    tables = fleet(repairs__1__tag="", repairs__1__serial_number="")
    assert faults(as_csv(tables), shell_user()) == [
        ("repairs", 2, "tag", "Give the tag, or the pump's serial number.")
    ]
    tables = fleet(repairs__1__tag="", repairs__1__reported_at="2019-03-01")
    assert faults(as_csv(tables), shell_user()) == [
        ("repairs", 2, "tag", "Give the tag: the pump stood nowhere at that time.")
    ]


def test_a_faulty_cell_brings_no_second_fault_elsewhere():
    tables = fleet(positions__1__head_m="high", components__1__fitted_on="one day")
    found = faults(as_csv(tables), shell_user())
    assert [fault[:3] for fault in found] == [
        ("positions", 2, "head_m"),
        ("components", 2, "fitted_on"),
    ]
