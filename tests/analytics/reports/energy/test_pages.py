"""The list, the page of a position and their files, as a browser gets them."""

import csv
import io
from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from analytics.reports.energy.judging import Verdict
from plant.choices import ImpellerKind
from plant.models import DutyPeriod, Pump
from tests.analytics.reports.energy.pumps import WATER_KW, as_new_store
from tests.conftest import logged_in
from tests.factories.energy import round_of
from tests.factories.plant import (
    AreaFactory,
    DutyPeriodFactory,
    PlacementFactory,
    SiteFactory,
    UserFactory,
)

pytestmark = pytest.mark.django_db
LIST = "/costs/energy/"


def worn_now(*efficiencies, **fields):
    """A round every sixty days up to yesterday, as the pages look at today."""
    fields = {"density_kg_m3": 1000.0, "area__site__currency": "EUR"} | fields
    placement = PlacementFactory(**{f"position__{k}": v for k, v in fields.items()})
    DutyPeriodFactory(position=placement.position, running_share=0.5)
    as_new_store(placement.pump)
    for back, efficiency in enumerate(reversed(efficiencies)):
        at = timezone.now() - timedelta(days=1 + 60 * back)
        round_of(placement.position, at, efficiency=efficiency)
    return placement.position


def page_of(position):
    return reverse("analytics:energy_position", args=[position.pk])


def rows_of(answer):
    return list(csv.DictReader(io.StringIO(answer.getvalue().decode("utf-8-sig"))))


def test_the_list_shows_what_its_file_holds(engineer_client):
    worn_now(0.61, 0.60, 0.59, tag="P-1", area__site__energy_price_per_kwh="0.2")
    worn_now(0.70, 0.69, 0.71, tag="P-2")
    worn_now(0.60, tag="P-3")
    answer = engineer_client.get(LIST)
    rows = rows_of(engineer_client.get(f"{LIST}export.csv"))
    shown = [[cell["text"] for cell in row] for row in answer.context["rows"]]
    assert [row[0] for row in shown] == ["P-1", "P-2", "P-3"]
    assert [row["tag"] for row in rows] == ["P-1", "P-2", "P-3"]
    assert [row[1] for row in shown] == [row["verdict"] for row in rows]
    assert rows[0]["verdict"] == Verdict.WORN.label
    assert shown[0][2] == f"{100 * float(rows[0]['drop']):.1f}" == "10.0"
    assert shown[0][3] == f"{float(rows[0]['kwh_a_year']):,.0f}"
    assert shown[0][4] == f"EUR {float(rows[0]['cost_a_year']):,.0f}"
    assert rows[0]["hours_estimated"] == "yes"
    assert (shown[2][2], rows[2]["drop"]) == ("–", "")
    assert "Without an energy price" in answer.text


def test_the_list_sorts_and_filters(engineer_client):
    one = worn_now(0.60, 0.60, 0.601, tag="P-1")
    worn_now(0.50, 0.50, 0.501, tag="P-2")
    tags = [
        row[0]["text"]
        for row in engineer_client.get(LIST, {"sort": "-drop"}).context["rows"]
    ]
    assert tags == ["P-2", "P-1"]
    answer = engineer_client.get(LIST, {"site": one.site.pk, "motor": "96"})
    (row,) = answer.context["rows"]
    assert row[0]["url"] == f"{page_of(one)}?motor=96"
    assert row[5]["text"] == "58.2\u00a0%"


def test_a_motor_that_cannot_be_is_refused_beside_its_field(engineer_client):
    answer = engineer_client.get(LIST, {"motor": "930"})
    assert answer.status_code == 200
    assert "motor" in answer.context["form"].errors
    export = engineer_client.get(f"{LIST}export.csv", {"motor": "930"})
    assert export.status_code == 400


def test_the_empty_list_says_what_to_do(engineer_client):
    assert "Log them together at the pump" in engineer_client.get(LIST).text


def test_the_page_of_a_position_shows_rounds_charts_and_cost(engineer_client):
    position = worn_now(0.61, 0.60, 0.59, area__site__energy_price_per_kwh="0.2")
    # Hours that are not whole: the page rounds them only where it shows them.
    DutyPeriod.objects.update(running_share=0.49995)
    answer = engineer_client.get(page_of(position))
    assert answer.context["verdict"] == Verdict.WORN.label
    assert len(answer.context["used"].rows) == 3
    excess = WATER_KW * (1 / 0.61 + 1 / 0.60 + 1 / 0.59 - 3 / 0.70) / 3
    tile = answer.context["cost_tiles"][0]
    assert (tile["value"], tile["unit"]) == (f"{excess:.2f}", "kW")
    assert answer.context["no_verdict"].startswith("Type what the work would cost")
    listed = engineer_client.get(LIST).context["rows"][0]
    energy, cost = answer.context["cost_tiles"][1:]
    assert (energy["value"], cost["value"]) == (listed[3]["text"], listed[4]["text"])
    assert "ISO 9906" in answer.text
    assert "This record is not a permit" in answer.text


def test_the_question_starts_from_what_is_on_record(engineer_client):
    position = worn_now(0.61, 0.60, 0.59, area__site__energy_price_per_kwh="0.2")
    Pump.objects.update(impeller_kind=ImpellerKind.CLOSED)
    form = engineer_client.get(page_of(position)).context["form"]
    assert str(form["price"].value()) == "0.2000"
    assert form["hours"].value() in {4380, 4392}
    assert form["work"].value() == "renew"


def test_the_work_pays_or_not_by_its_cost(engineer_client):
    position = worn_now(0.61, 0.60, 0.59)
    asked = {"price": "0,2", "hours": "8000", "work": "reset", "wear_years": "4"}
    cheap = engineer_client.get(page_of(position), asked | {"cost": "400"})
    assert cheap.context["headline"].startswith("It pays")
    assert "takes away 60\u00a0% of the drop (common practice)" in cheap.text
    dear = engineer_client.get(page_of(position), asked | {"cost": "40000"})
    assert dear.context["headline"].startswith("It does not pay")
    typed = engineer_client.get(
        page_of(position), asked | {"cost": "400", "share": "50"}
    )
    assert "takes away 50\u00a0% of the drop (as typed)" in typed.text


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"hours": "9000"}, "hours"),
        ({"price": "-1"}, "price"),
        ({"cost": "nothing"}, "cost"),
        ({"wear_years": "0"}, "wear_years"),
        ({"share": "120"}, "share"),
        ({"work": "polish"}, "work"),
    ],
)
def test_a_slip_is_refused_beside_its_field(engineer_client, changes, field):
    position = worn_now(0.61, 0.60, 0.59)
    asked = {"price": "0.2", "hours": "8000", "work": "reset", "wear_years": "4"}
    answer = engineer_client.get(page_of(position), asked | changes)
    assert answer.status_code == 200
    assert field in answer.context["form"].errors
    assert answer.context["no_cost"] == "Look at the fields marked below."


def test_a_position_without_a_clear_drop_has_no_cost(engineer_client):
    answer = engineer_client.get(page_of(worn_now(0.70, 0.69, 0.71)))
    assert answer.context["no_cost"].startswith("No drop is clear")
    assert "cost_tiles" not in answer.context


def test_a_position_without_readings_has_a_page(engineer_client):
    answer = engineer_client.get(page_of(PlacementFactory().position))
    assert answer.status_code == 200
    assert "The density of the liquid is not recorded" in answer.text


def test_the_file_of_rounds_holds_each_with_its_reason(engineer_client):
    position = worn_now(0.61, 0.60, 0.59)
    round_of(position, timezone.now() - timedelta(days=3), flow=66.0, efficiency=0.6)
    address = reverse("analytics:energy_rounds_export", args=[position.pk])
    rows = rows_of(engineer_client.get(address))
    assert [row["used"] for row in rows] == ["yes", "yes", "no", "yes"]
    assert rows[2]["left_out_because"] == "at another flow"
    assert float(rows[3]["efficiency"]) == pytest.approx(0.59)


def test_a_manager_of_another_site_gets_nothing(engineer_client):
    position = worn_now(0.61, 0.60, 0.59, tag="P-SECRET")
    manager = UserFactory(role="manager", sees_all_sites=False)
    manager.sites.add(AreaFactory().site, SiteFactory())
    browser = logged_in(manager)
    for asked in ({}, {"site": position.site.pk}, {"area": position.area.pk}):
        assert "P-SECRET" not in browser.get(LIST, asked).text
    assert rows_of(browser.get(f"{LIST}export.csv")) == []
    for name in ("energy_position", "energy_rounds_export"):
        address = reverse(f"analytics:{name}", args=[position.pk])
        assert browser.get(address).status_code == 404


def test_the_pages_cost_a_fixed_number_of_queries(engineer_client):
    def queries(address):
        with CaptureQueriesContext(connection) as seen:
            assert engineer_client.get(address).status_code == 200
        return len(seen)

    position = worn_now(0.61, 0.60, 0.59)
    one, of_one = queries(LIST), queries(page_of(position))
    for _number in range(4):
        worn_now(0.61, 0.60, 0.59)
    assert queries(LIST) == one
    assert queries(page_of(position)) == of_one
