"""What a second import changes, fills in, or leaves as it is."""

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from plant.access import shell_user
from plant.choices import Beginning, Location, WhyRemoved
from plant.models import (
    DutyPeriod,
    FittedLife,
    Placement,
    Position,
    Pump,
    SpareGroup,
)
from records.choices import ChangeKind
from records.models import ComponentChange, CostLine, Repair
from tests.factories.plant import PlacementFactory, PositionFactory, PumpFactory
from tests.records.importing.sheets import as_csv, counts, fleet, stored

pytestmark = pytest.mark.django_db


def test_a_changed_position_is_shown_and_keeps_its_history():
    stored(as_csv(fleet()), shell_user())
    found = stored(as_csv(fleet(positions__1__liquid="brine")), shell_user())
    assert counts(found)["positions"] == (0, 1, 1)
    assert found.summary["positions"]["samples"] == [
        {
            "outcome": "changed",
            "row": 2,
            "name": "P-101A",
            "what": "liquid: acid → brine",
        }
    ]
    position = Position.objects.get(tag="P-101A")
    assert position.liquid == "brine"
    assert [row.liquid for row in position.history.order_by("history_id")] == [
        "acid",
        "brine",
    ]
    # A life keeps the liquid it was fitted for.
    assert set(FittedLife.objects.values_list("liquid", flat=True)) == {"acid"}


def test_buffer_and_share_of_output_lost_are_taken_and_may_be_absent():
    stored(as_csv(fleet()), shell_user())
    position = Position.objects.get(tag="P-101A")
    assert (position.buffer_hours, position.output_share_lost) == (0.0, 1.0)
    tanks = {
        "positions__1__buffer_hours": "4.5",
        "positions__1__output_share_lost": "0.6",
    }
    found = stored(as_csv(fleet(**tanks)), shell_user())
    assert found.summary["positions"]["samples"][0]["what"] == (
        "buffer_hours: 0 → 4.5; output_share_lost: 1 → 0.6"
    )
    position.refresh_from_db()
    assert (position.buffer_hours, position.output_share_lost) == (4.5, 0.6)


def test_a_blank_cell_leaves_what_is_stored():
    stored(as_csv(fleet()), shell_user())
    found = stored(as_csv(fleet(positions__1__liquid="")), shell_user())
    assert counts(found)["positions"] == (0, 0, 2)
    assert Position.objects.get(tag="P-101A").liquid == "acid"


def test_a_changed_running_share_changes_the_period_it_belongs_to():
    stored(as_csv(fleet()), shell_user())
    position = Position.objects.get(tag="P-101A")
    DutyPeriod.objects.create(
        position=position, starts_on=date(2023, 1, 1), running_share=0.9
    )
    found = stored(as_csv(fleet(positions__1__running_share="0.7")), shell_user())
    assert counts(found)["positions"] == (0, 1, 1)
    shares = position.duty_periods.values_list("starts_on", "running_share")
    assert list(shares) == [(date(2020, 1, 1), 0.7), (date(2023, 1, 1), 0.9)]


def test_a_pump_of_unknown_maker_gets_its_maker():
    stored(as_csv(fleet()), shell_user())
    found = stored(as_csv(fleet(pumps__1__maker="Alpha")), shell_user())
    assert counts(found)["pumps"] == (0, 1, 1)
    assert Pump.objects.get(serial_number="SN-1").maker == "Alpha"
    found = stored(as_csv(fleet(pumps__1__maker="Alpha")), shell_user())
    assert counts(found)["pumps"] == (0, 0, 2)


def test_an_open_placement_is_closed_and_the_next_pump_comes():
    stored(as_csv(fleet()), shell_user())
    tables = fleet(pumps__1__removed_on="2022-05-01")
    tables["pumps"].append(["SN-3", "", "P-101A", "2022-05-01", ""])
    found = stored(as_csv(tables), shell_user())
    assert counts(found)["pumps"] == (1, 1, 1)
    placements = Placement.objects.filter(position__tag="P-101A")
    assert [p.pump.serial_number for p in placements] == ["SN-1", "SN-3"]
    assert placements[0].removed_at == datetime(2022, 5, 1, tzinfo=UTC)


def test_an_open_life_is_closed_and_blanks_are_filled_in():
    stored(as_csv(fleet()), shell_user())
    tables = fleet(
        components__2__removed_on="2023-04-05",
        components__2__reason_out="sound",
        components__1__faces="carbon / carbide",
    )
    found = stored(as_csv(tables), shell_user())
    assert counts(found)["components"] == (0, 2, 0)
    closed = FittedLife.objects.get(fitted_at__year=2021)
    assert closed.removed_at == datetime(2023, 4, 5, tzinfo=UTC)
    assert (closed.why_removed, closed.defect_detected) == (WhyRemoved.PRACTICE, False)
    assert closed.history.count() == 2
    assert FittedLife.objects.get(fitted_at__year=2020).faces == "carbon / carbide"
    assert counts(stored(as_csv(tables), shell_user()))["components"] == (0, 0, 2)


def test_a_closed_life_makes_room_for_the_next_in_one_import():
    stored(as_csv(fleet()), shell_user())
    tables = fleet(
        components__2__removed_on="2023-04-05", components__2__reason_out="failed"
    )
    line = ["SN-1", "seal", "single", "2023-04-06", "known", "", "", "", "", ""]
    tables["components"].append(line)
    assert counts(stored(as_csv(tables), shell_user()))["components"] == (1, 1, 1)


def test_some_sheets_alone_find_the_rest_in_the_register():
    tables = fleet()
    repairs = {"repairs": tables.pop("repairs")}
    stored(as_csv(tables), shell_user())
    found = stored(as_csv(repairs), shell_user())
    assert counts(found) == {"repairs": (1, 0, 0)}
    repair = Repair.objects.get()
    assert (repair.position.tag, repair.pump.serial_number) == ("P-101A", "SN-1")
    # The life that it took out, and the one that it fitted, came earlier.
    changes = ComponentChange.objects.values_list("life__fitted_at__year", "change")
    assert set(changes) == {(2020, ChangeKind.OUT), (2021, ChangeKind.IN)}


def test_pump_and_tag_of_a_repair_follow_from_the_placement():
    stored(as_csv(fleet(repairs__1__tag="")), shell_user())
    assert Repair.objects.get().position.tag == "P-101A"
    second = fleet(repairs__1__serial_number="", repairs__1__repair_number="R-2")
    stored(as_csv(second), shell_user())
    assert Repair.objects.get(number="R-2").pump.serial_number == "SN-1"


def test_a_repair_where_no_pump_stood_is_stored_without_one():
    tables = fleet(
        repairs__1__serial_number="",
        repairs__1__reported_at="2019-03-01",
        repairs__1__stopped_at="",
        repairs__1__returned_at="",
    )
    found = stored(as_csv(tables), shell_user())
    assert Repair.objects.get().pump is None
    assert found.notes[-1] == (
        "repairs, 1 row: no serial_number, and no pump stood at the tag when it was "
        "reported: stored without a pump."
    )


def test_costs_are_lines_of_a_ledger_and_blanks_are_none():
    stored(as_csv(fleet(repairs__1__labour_cost="0")), shell_user())
    lines = CostLine.objects.order_by("kind").values_list(
        "kind", "amount", "currency", "status", "booked_on"
    )
    day = date(2021, 3, 2)
    assert list(lines) == [
        ("labour", Decimal(0), "EUR", "booked", day),
        ("parts", Decimal("1234.50"), "EUR", "booked", day),
    ]


def test_an_unknown_beginning_takes_the_day_of_the_placement():
    tables = fleet(components__1__fitted_on="", components__1__beginning="unknown")
    found = stored(as_csv(tables), shell_user())
    life = FittedLife.objects.get(removed_at__isnull=False)
    assert life.beginning == Beginning.UNKNOWN
    assert life.fitted_at == datetime(2020, 1, 1, tzinfo=UTC)
    assert (
        "components, 1 row: fitted_on is blank: the pump's placement stands for it."
        in found.notes
    )
    assert counts(stored(as_csv(tables), shell_user()))["components"] == (0, 0, 2)


def test_a_seal_fitted_in_the_store_is_for_the_tag_its_pump_goes_to():
    position = PositionFactory(tag="P-9", liquid="lye")
    pump = PumpFactory(site=position.site, serial_number="SN-9")
    PlacementFactory(
        pump=pump, position=position, placed_at=datetime(2021, 2, 1, tzinfo=UTC)
    )
    heading = fleet()["components"][0]
    line = ["SN-9", "seal", "", "2021-01-20", "known", "", "", "", "", ""]
    stored(as_csv({"components": [heading, line]}), shell_user())
    life = FittedLife.objects.get()
    assert (life.position, life.liquid) == (position, "lye")
    assert life.location == Location.SEAL_SINGLE_INNER


def test_spare_groups_come_with_their_positions():
    tables = fleet(
        positions__1__spare_group="Feed",
        positions__2__spare_group="Feed",
        positions__2__needed_running="1",
    )
    stored(as_csv(tables), shell_user())
    group = SpareGroup.objects.get()
    assert {p.tag for p in group.positions.all()} == {"P-101A", "P-101B"}
    tables = fleet(positions__1__spare_group="Feed", positions__1__needed_running="2")
    assert counts(stored(as_csv(tables), shell_user()))["positions"] == (0, 1, 1)
    assert SpareGroup.objects.get().needed_running == 2


def test_unknown_columns_are_reported_and_ignored():
    found = stored(as_csv(fleet(positions__1__colour="blue")), shell_user())
    assert "positions: columns not known here and ignored: colour." in found.notes
