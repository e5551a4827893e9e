"""Travellers, families and bad starters, as the page shows them."""

import csv
import io
from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from analytics.exposure import Window
from analytics.reports.bad_actors.report import UnitKind
from analytics.reports.bad_actors.sections import sections_of
from plant.models import DutyPeriod
from records.choices import Item, Mechanism, OperatingState
from tests.analytics.reports.bad_actors.test_page import (
    QUESTION,
    fleet,
    repairs_at,
    report_of,
)
from tests.conftest import logged_in
from tests.factories.actions import ActionFactory
from tests.factories.plant import (
    AreaFactory,
    PlacementFactory,
    PositionFactory,
    PumpFactory,
)
from tests.factories.records import CostLineFactory

pytestmark = pytest.mark.django_db
MACHINE = UnitKind.MACHINE
THREE_YEARS = Window(date(2022, 1, 1), date(2024, 12, 31))


def noon(*day):
    return datetime(*day, 12, tzinfo=UTC)


def traveller(positions):
    """One machine at two tags in turn, failing at both."""
    machine = PumpFactory(site=positions[0].site, serial_number="SN-BAD")
    moved = noon(2023, 7, 1)
    PlacementFactory(pump=machine, position=positions[0], removed_at=moved)
    PlacementFactory(pump=machine, position=positions[1], placed_at=moved)
    known = {"pump": machine, "item": Item.SEAL, "mechanism": Mechanism.M2_7}
    repairs_at(positions[0], 5, first=date(2022, 1, 10), **known)
    repairs_at(positions[1], 5, first=date(2023, 7, 10), **known)
    for position in positions[2:]:
        placement = PlacementFactory(position=position)
        if int(position.tag[-2:]) % 3 == 0:
            repairs_at(position, 1, pump=placement.pump)


def test_a_machine_that_fails_on_several_tags_is_named_with_them(engineer):
    traveller(fleet(40))
    report = report_of(engineer, MACHINE, THREE_YEARS)
    (found,) = sections_of(report).travellers
    assert (found.unit.label, found.events) == ("SN-BAD", 10)
    assert dict(found.by_tag) == {"P-00": 5, "P-01": 5}


def test_the_reason_names_the_item_and_what_comes_back(engineer):
    traveller(fleet(40))
    (flagged,) = report_of(engineer, MACHINE, THREE_YEARS).flagged
    assert flagged.reason.startswith("10 repairs, 10 events of the mechanical seal, in")
    assert flagged.reason.endswith(
        "; its latest event is the tenth of 10 with overheating."
    )
    assert flagged.trend is not None
    assert flagged.trend.events == 10


def test_the_page_of_the_pumps_shows_the_traveller(engineer_client):
    traveller(fleet(40))
    asked = QUESTION | {"unit": MACHINE.value, "months": "36"}
    page = engineer_client.get("/bad-actors/", asked)
    ((name, _events, tags),) = page.context["travellers"]
    assert name["text"] == "SN-BAD"
    assert tags["text"] == "P-00 (5), P-01 (5)"


def test_an_area_with_many_repairs_of_all_its_pumps_is_a_bad_family(engineer):
    positions = fleet(30)
    bad = AreaFactory(site=positions[0].site, name="Bad area")
    for number in range(8):
        repairs_at(PositionFactory(area=bad, tag=f"B-{number}"), 3, every=95)
    for position in positions[:10]:
        repairs_at(position, 1)
    (found,) = sections_of(report_of(engineer)).families
    assert (found.name, found.units, found.events) == ("Bad area", 8, 24)


def test_equal_areas_are_no_bad_families(engineer):
    for _ in range(3):
        for position in fleet(8)[:4]:
            repairs_at(position, 1)
    assert sections_of(report_of(engineer)).families == ()


def test_a_standby_pump_that_dies_on_starting_is_found(engineer, engineer_client):
    positions = fleet(20)
    DutyPeriod.objects.create(
        position=positions[0], starts_on=date(2020, 1, 1), running_share=0.02
    )
    repairs_at(positions[0], 3, operating_state=OperatingState.STARTING)
    for position in positions[1:]:
        repairs_at(position, 1, operating_state=OperatingState.RUNNING)
    ((unit, found),) = sections_of(report_of(engineer)).starters
    assert (unit.label, found.on_starting) == ("P-00", 3)
    text = engineer_client.get("/bad-actors/", QUESTION).content.decode()
    assert "3 of 3 failures on starting; other units 0 of 19." in text


def test_who_may_decide_is_led_to_an_action_and_who_may_not_is_not(engineer, planner):
    positions = fleet(40)
    repairs_at(positions[0], 10, first=date(2022, 1, 10))
    for position in positions[1:11]:
        repairs_at(position, 1)
    asked = QUESTION | {"months": "36"}
    address = f"/actions/new/?position={positions[0].pk}"
    shown = {
        user: logged_in(user).get("/bad-actors/", asked).content.decode()
        for user in (engineer, planner)
    }
    assert f'href="{address}"' in shown[engineer]
    assert "/actions/new/" not in shown[planner]
    assert f'href="/positions/{positions[0].pk}/story/"' in shown[planner]


def test_an_open_action_stands_where_the_next_step_is_asked_for(engineer):
    positions = fleet(40)
    repairs_at(positions[0], 10, first=date(2022, 1, 10))
    for position in positions[1:11]:
        repairs_at(position, 1)
    action = ActionFactory(site=positions[0].site, title="Move the strainer")
    action.positions.set([positions[0]])
    page = logged_in(engineer).get("/bad-actors/", QUESTION | {"months": "36"})
    ((*_before, step),) = page.context["flagged"]
    assert (step["text"], step["url"]) == (action.title, action.get_absolute_url())
    assert f"{action.owner}, due" in step["note"]


def test_the_file_has_what_the_page_says_of_a_flagged_pump(engineer, engineer_client):
    traveller(fleet(40))
    asked = QUESTION | {"unit": MACHINE.value, "months": "36"}
    (flagged,) = report_of(engineer, MACHINE, THREE_YEARS).flagged
    page = engineer_client.get("/bad-actors/", asked)
    ((_name, why, rate, *_more),) = page.context["flagged"]
    answer = engineer_client.get("/bad-actors/export.csv", asked)
    text = answer.getvalue().decode("utf-8-sig")
    rows = {
        row["Pump (serial number)"]: row for row in csv.DictReader(io.StringIO(text))
    }
    row = rows["SN-BAD"]
    assert (row["flagged"], row["a month before"]) == ("yes", "still")
    assert why["flag"] == "still flagged"
    assert row["reason"] == why["text"] == flagged.reason
    assert (
        row["what comes back"] == "its latest event is the tenth of 10 with overheating"
    )
    assert row["its own rate"] == rate["text"]
    assert int(row["days since last repair"]) == flagged.days_since
    shape = float(row["power-law shape of its own events"])
    assert f"shape {shape:.2f}" in rate["note"]


def test_cost_adds_up_along_the_ranks_on_page_and_in_the_file(engineer_client):
    positions = fleet(12)
    for position, amount in zip(positions[:3], ("60", "30", "10"), strict=True):
        (repair,) = repairs_at(position, 1)
        CostLineFactory(repair=repair, amount=Decimal(amount))
    asked = QUESTION | {"rank": "cost"}
    page = engineer_client.get("/bad-actors/", asked)
    notes = [row[-2]["note"].replace("\u00a0", " ") for row in page.context["rows"][:3]]
    assert notes == [
        "60.0 % of all",
        "30.0 % of all, 90.0 % with the costlier",
        "10.0 % of all, 100.0 % with the costlier",
    ]
    (chart,) = page.context["cost_charts"]
    assert chart["reading"].startswith("Highest cost first; 2 of 12 units make 80")
    answer = engineer_client.get("/bad-actors/export.csv", asked)
    lines = list(csv.DictReader(io.StringIO(answer.getvalue().decode("utf-8-sig"))))
    so_far = [float(line["share with the costlier units EUR"]) for line in lines[:3]]
    assert so_far == pytest.approx([0.6, 0.9, 1.0])
