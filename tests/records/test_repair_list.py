"""The list of repairs: filters, order, totals, export."""

import csv
import io
from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from records.choices import Activity, Category, CostKind, Item, RepairState
from records.importing import vocabulary
from records.models import Repair
from records.services.repairs import repair_log
from tests.conftest import logged_in
from tests.factories.plant import PositionFactory, PumpFactory, UserFactory
from tests.factories.records import CostLineFactory, RepairFactory
from tests.records.plant_at_hand import FINISHED, plant_at_hand, seal_out
from tests.records.test_repair_form_page import page

DAY = datetime(2024, 3, 1, 8, tzinfo=UTC)
SIGNED = {"state": RepairState.SIGNED, "signed_at": DAY}
URL = "/repairs/"


def numbers(answer):
    return [row[0]["text"] for row in answer.context["rows"]]


def export(client, query=None):
    answer = client.get(reverse("records:repair_export"), query or {})
    text = b"".join(answer.streaming_content).decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text)))


@pytest.fixture
def three(db):
    position = PositionFactory(tag="P-101", area__name="Acid")
    other = PositionFactory(tag="P-202")
    pump = PumpFactory(site=other.site, serial_number="SN-77")
    return [
        RepairFactory(
            number="R-1",
            position=position,
            item=Item.SEAL,
            failure_mode="ELP",
            text="Faces cracked",
            stopped_at=DAY,
            returned_at=DAY,
            reported_at=DAY,
            **SIGNED,
        ),
        RepairFactory(
            number="R-2",
            position=other,
            pump=pump,
            category=Category.PREVENTIVE,
            reported_at=DAY + timedelta(days=1),
            **SIGNED,
        ),
        RepairFactory(
            number="R-3",
            position=other,
            activity=Activity.ADJUST,
            reported_at=DAY + timedelta(days=2),
        ),
    ]


def test_the_newest_comes_first(three, planner_client):
    assert numbers(planner_client.get(URL)) == ["R-3", "R-2", "R-1"]


@pytest.mark.parametrize(
    ("query", "found"),
    [
        ({"text": "r-1"}, ["R-1"]),
        ({"text": "p-10"}, ["R-1"]),
        ({"text": "sn-77"}, ["R-2"]),
        ({"text": "cracked"}, ["R-1"]),
        ({"category": "preventive"}, ["R-2"]),
        ({"failure_mode": "ELP"}, ["R-1"]),
        ({"item": "mechanical seal"}, ["R-1"]),
        ({"state": "draft"}, ["R-3"]),
        ({"state": "void"}, []),
        ({"counted_as": "repair"}, ["R-2", "R-1"]),
        ({"counted_as": "failure"}, ["R-1"]),
        ({"counted_as": "failure work"}, ["R-1"]),
        ({"counted_as": "other work"}, ["R-3", "R-2"]),
        ({"failure_mode": "none"}, ["R-3", "R-2"]),
        ({"mechanism": "none"}, ["R-3", "R-2", "R-1"]),
        ({"cause": "1.0"}, []),
        ({"no_pump": "on"}, ["R-3", "R-1"]),
        ({"part": "no part named"}, ["R-3", "R-2", "R-1"]),
        ({"part": "several parts"}, []),
        ({"rework": "on"}, []),
        ({"reported_from": "2024-03-02"}, ["R-3", "R-2"]),
        ({"reported_to": "2024-03-02"}, ["R-2", "R-1"]),
        ({"open_only": "on"}, ["R-3"]),
        ({"sort": "number"}, ["R-1", "R-2", "R-3"]),
        ({"sort": "-tag"}, ["R-2", "R-3", "R-1"]),
        ({"sort": "nonsense"}, ["R-3", "R-2", "R-1"]),
        ({"reported_from": "not a day"}, ["R-3", "R-2", "R-1"]),
    ],
)
def test_filters_and_order(three, planner_client, query, found):
    answer = planner_client.get(URL, query)
    assert numbers(answer) == found
    assert [row["repair_number"] for row in export(planner_client, query)] == found


def test_site_and_area_narrow_the_list(three, planner_client):
    repair = three[0]
    for query in (
        {"site": repair.site_id},
        {"area": repair.position.area_id},
    ):
        assert numbers(planner_client.get(URL, query)) == ["R-1"]


def test_the_serial_of_a_component_is_found(planner, planner_client):
    here = plant_at_hand()
    here.seal.serial = "S-555"
    here.seal.save()
    repair = repair_log(
        by=planner, position=here.position, components_out=[seal_out(here)], **FINISHED
    )
    assert numbers(planner_client.get(URL, {"text": "s-555"})) == [repair.number]


def test_void_repairs_show_only_when_asked_for(three, planner_client):
    Repair.objects.filter(pk=three[2].pk).update(
        state=RepairState.VOID, void_reason="Wrong", signed_at=DAY
    )
    assert numbers(planner_client.get(URL)) == ["R-2", "R-1"]
    assert numbers(planner_client.get(URL, {"state": "void"})) == ["R-3"]


def test_counts_follow_the_rule_that_stands_below(three, planner_client):
    answer = planner_client.get(URL)
    assert [(tile["label"], tile["value"]) for tile in answer.context["tiles"]] == [
        ("In this list", "3"),
        ("Counted as repairs", "2"),
        ("Counted as failures", "1"),
    ]
    assert "Counted from the report on, open and unsigned ones included" in page(answer)


def test_totals_are_those_of_every_page_and_of_the_export(three, planner_client):
    for repair, kind, amount, currency in [
        (three[0], CostKind.PARTS, "100.10", "EUR"),
        (three[0], CostKind.LOST_PRODUCTION, "5000.00", "EUR"),
        (three[1], CostKind.LABOUR, "50.05", "EUR"),
        (three[1], CostKind.LABOUR, "7.00", "USD"),
    ]:
        CostLineFactory(
            repair=repair, kind=kind, amount=Decimal(amount), currency=currency
        )
    totals = planner_client.get(URL).context["totals"]
    shown = [cell["text"].replace("\N{NO-BREAK SPACE}", " ") for cell in totals[-3:]]
    assert shown == ["EUR 150.15, USD 7.00", "EUR 5,000.00", "–"]
    rows = export(planner_client)
    assert sum(Decimal(row["repair_cost_EUR"]) for row in rows) == Decimal("150.15")
    assert sum(Decimal(row["repair_cost_USD"]) for row in rows) == Decimal("7.00")


def test_a_repair_soon_after_the_last_of_the_pump_is_marked(db, planner_client):
    pump = PumpFactory(site__rework_window_days=90)
    position = PositionFactory(area__site=pump.site)
    for number, days in (("R-1", 0), ("R-2", 89), ("R-3", 200)):
        RepairFactory(
            number=number,
            position=position,
            pump=pump,
            reported_at=DAY + timedelta(days=days),
        )
    notes = {
        row[0]["text"]: row[0]["note"].replace("\N{NO-BREAK SPACE}", " ")
        for row in planner_client.get(URL).context["rows"]
    }
    assert notes == {
        "R-1": "",
        "R-2": "rework: 89 days after the last repair (the same item)",
        "R-3": "",
    }


def test_another_site_is_neither_listed_nor_exported(three):
    stranger = UserFactory(role="planner", sees_all_sites=False)
    stranger.sites.add(three[0].site)
    client = logged_in(stranger)
    assert numbers(client.get(URL)) == ["R-1"]
    assert [row["repair_number"] for row in export(client)] == ["R-1"]


def test_text_in_the_export_is_no_formula(three, planner_client):
    Repair.objects.filter(number="R-3").update(text='=HYPERLINK("x")')
    assert export(planner_client)[0]["text"] == '\'=HYPERLINK("x")'


def test_the_export_gives_times_at_the_site_with_their_distance(three, planner_client):
    site = three[0].site
    site.time_zone = "Europe/Amsterdam"
    site.save()
    row = export(planner_client, {"text": "R-1"})[0]
    assert row["reported_at"] == "2024-03-01 09:00:00+01:00"


def test_who_may_not_see_costs_gets_none(three):
    nobody = logged_in(UserFactory())
    CostLineFactory(repair=three[0])
    assert nobody.get(URL).context["totals"] is None
    assert "Repair cost" not in [
        column["label"] for column in nobody.get(URL).context["columns"]
    ]
    assert "repair_cost_EUR" not in export(nobody)[0]


def test_an_empty_list_says_what_to_do(db, planner_client):
    assert "No repair fits. Clear the filters, or log one." in page(
        planner_client.get(URL)
    )


def test_only_who_may_log_is_offered_the_form(db, planner_client, manager_client):
    assert planner_client.get(URL).context["actions"]
    assert not manager_client.get(URL).context["actions"]


def test_without_a_log_in_the_list_leads_to_it(client, db):
    assert client.get(URL).url.startswith(reverse("login"))


def test_more_rows_need_no_more_queries(
    three, planner_client, django_assert_num_queries
):
    for repair in three:
        CostLineFactory(repair=repair)
    with CaptureQueriesContext(connection) as few:
        planner_client.get(URL)
    for _ in range(6):
        CostLineFactory(repair=RepairFactory())
    with django_assert_num_queries(len(few)):
        planner_client.get(URL)


def test_the_export_writes_code_and_words(db, planner_client):
    RepairFactory(
        number="R-4",
        activity="1",
        mechanism="1.1",
        cause="3.4",
        detection="8",
        failure_mode="ELP",
        impact="critical",
    )
    row = export(planner_client, {"text": "R-4"})[0]
    assert {name: row[name] for name in ("activity", "mechanism", "cause")} == {
        "activity": "1 Replace, same type",
        "mechanism": "1.1 Leakage",
        "cause": "3.4 Expected wear and tear",
    }
    assert (row["detection"], row["failure_mode"], row["impact"], row["category"]) == (
        "8 Casual observation",
        "ELP Process liquid leaks out",
        "Critical",
        Repair.objects.get(number="R-4").get_category_display(),
    )
    # The import reads every one of them back.
    assert vocabulary.ACTIVITY.find(row["activity"]) == "1"
    assert vocabulary.FAILURE_MODE.find(row["failure_mode"]) == "ELP"
    assert vocabulary.DETECTION.find(row["detection"]) == "8"
    assert vocabulary.IMPACT.find(row["impact"]) == "critical"
