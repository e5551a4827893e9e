"""Signing, voiding, costs, meter readings, panels and cautions as pages."""

from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest
from django.urls import reverse

from records.choices import CostKind, RepairState
from records.models import CostLine, HourReading
from records.selectors.repairs import repair_version
from records.services.repairs import repair_log, repair_update_draft
from tests.conftest import logged_in
from tests.factories.plant import UserFactory
from tests.factories.records import CostLineFactory, HourReadingFactory, RepairFactory
from tests.records.plant_at_hand import FINISHED, REPORTED, plant_at_hand, seal_out
from tests.records.test_repair_form_page import page


@pytest.fixture
def here(db):
    return plant_at_hand()


@pytest.fixture
def draft(here, planner):
    return repair_log(
        by=planner, position=here.position, components_out=[seal_out(here)], **FINISHED
    )


def url(name, repair):
    return reverse(f"records:{name}", args=[repair.pk])


def test_signing_asks_once_and_says_that_it_releases_nothing(draft, planner_client):
    asked = page(planner_client.get(url("repair_sign", draft)))
    assert "Sign this record under your name?" in asked
    assert "It releases nothing" in asked
    planner_client.post(
        url("repair_sign", draft),
        {
            "version": repair_version(draft),
            "as_is": "handed back:seal single inner",
        },
    )
    draft.refresh_from_db()
    assert draft.is_signed


def test_what_changed_after_reading_is_not_signed(draft, planner, planner_client):
    read = repair_version(draft)
    repair_update_draft(by=planner, repair=draft, text="Other")
    answer = planner_client.post(
        url("repair_sign", draft), {"version": read}, follow=True
    )
    assert "after you opened this form" in page(answer)
    draft.refresh_from_db()
    assert not draft.is_signed


def test_an_unfinished_draft_says_what_it_lacks(here, planner, planner_client):
    draft = repair_log(
        by=planner,
        position=here.position,
        reported_at=REPORTED,
        category="preventive",
    )
    asked = planner_client.get(url("repair_sign", draft))
    assert "Say what was done." in page(asked)
    assert "Sign the record" not in page(asked)


def test_voiding_needs_a_reason_and_puts_the_seal_back(draft, here, engineer_client):
    answer = engineer_client.post(url("repair_void", draft), {"reason": ""})
    assert answer.context["form"].errors["reason"] == ["This field is required."]
    engineer_client.post(url("repair_void", draft), {"reason": "Wrong pump"})
    draft.refresh_from_db()
    here.seal.refresh_from_db()
    assert draft.state == RepairState.VOID
    assert here.seal.removed_at is None


@pytest.mark.parametrize("name", ["repair_sign", "cost_new"])
def test_managers_neither_sign_nor_add(draft, manager_client, name):
    assert manager_client.get(url(name, draft)).status_code == 403
    assert manager_client.post(url(name, draft)).status_code == 403


@pytest.mark.parametrize("name", ["repair_sign", "repair_void", "cost_new"])
def test_another_site_is_not_found(draft, name):
    stranger = logged_in(UserFactory(role="reliability engineer", sees_all_sites=False))
    assert stranger.get(url(name, draft)).status_code == 404
    assert stranger.post(url(name, draft)).status_code == 404


def test_planners_void_nothing(draft, planner_client):
    assert planner_client.post(url("repair_void", draft)).status_code == 403


COST = {
    "kind": "labour",
    "amount": "80.25",
    "currency": "EUR",
    "status": "booked",
    "booked_on": "2024-04-01",
}


def test_a_cost_is_added_to_the_ledger(draft, planner_client, planner):
    planner_client.post(url("cost_new", draft), COST)
    line = CostLine.objects.get()
    assert (line.kind, line.amount) == (CostKind.LABOUR, Decimal("80.25"))
    assert line.entered_by == planner


@pytest.mark.parametrize(
    ("field", "value", "sentence"),
    [
        ("amount", "-1", "to strike a line, replace it by 0"),
        ("amount", "12.3456", "no more than 2 decimal places"),
        ("amount", "1,234", "1,234 may mean 1234 or 1.2340. Write it as 1234.50."),
        ("amount", "many", "Enter a number."),
        ("currency", "eur", "Three capital letters, such as EUR."),
        ("status", "", "This field is required."),
    ],
)
def test_a_wrong_cost_comes_back(draft, planner_client, field, value, sentence):
    answer = planner_client.post(url("cost_new", draft), {**COST, field: value})
    assert sentence in answer.context["form"].errors[field][0]
    assert not CostLine.objects.exists()


def test_a_better_figure_replaces_a_line(draft, planner_client):
    line = CostLineFactory(repair=draft, amount=Decimal("100.00"))
    address = reverse("records:cost_replace", args=[draft.pk, line.pk])
    assert "It takes the place of EUR 100.00" in page(planner_client.get(address))
    planner_client.post(address, COST)
    assert [line.amount for line in CostLine.objects.standing()] == [Decimal("80.25")]


def test_a_line_replaced_meanwhile_is_said(draft, planner_client):
    line = CostLineFactory(repair=draft)
    address = reverse("records:cost_replace", args=[draft.pk, line.pk])
    planner_client.post(address, COST)
    answer = planner_client.post(address, COST)
    assert "This line was already replaced by 80.25 EUR" in page(answer)


def test_a_line_of_another_repair_is_not_found(draft, planner_client):
    line = CostLineFactory()
    address = reverse("records:cost_replace", args=[draft.pk, line.pk])
    assert planner_client.get(address).status_code == 404


def hours_url(here):
    return reverse("records:hours", args=[here.position.pk])


def test_a_reading_is_stored_in_the_zone_of_the_site(here, planner_client):
    here.site.time_zone = "Europe/Amsterdam"
    here.site.save()
    planner_client.post(
        hours_url(here), {"read_at": "2024-06-01T12:00", "meter_hours": "20.812,5"}
    )
    reading = HourReading.objects.get()
    assert reading.read_at == datetime(2024, 6, 1, 10, tzinfo=UTC)
    assert reading.meter_hours == 20812.5


def test_a_falling_reading_comes_back_beside_its_field(here, planner_client):
    HourReadingFactory(position=here.position, meter_hours=1000.0)
    answer = planner_client.post(
        hours_url(here), {"read_at": "2024-06-01T12:00", "meter_hours": "12"}
    )
    [sentence] = answer.context["form"].errors["meter_hours"]
    assert sentence.startswith("A meter does not run backwards")


@pytest.mark.parametrize(
    ("value", "sentence"),
    [("", "Type what the meter shows."), ("-1", "A meter shows zero or more.")],
)
def test_a_meter_shows_zero_or_more(here, planner_client, value, sentence):
    answer = planner_client.post(
        hours_url(here), {"read_at": "2024-06-01T12:00", "meter_hours": value}
    )
    assert answer.context["form"].errors["meter_hours"] == [sentence]


def test_managers_read_the_meter_but_write_nothing(here, manager_client):
    answer = manager_client.get(hours_url(here))
    assert answer.context["form"] is None
    assert manager_client.post(hours_url(here)).status_code == 403


def test_readings_of_another_site_are_not_found(here):
    stranger = logged_in(UserFactory(role="planner", sees_all_sites=False))
    assert stranger.get(hours_url(here)).status_code == 404


@pytest.mark.parametrize("of", ["position", "pump"])
def test_a_panel_is_a_part_for_script_and_a_page_without(
    here, draft, planner_client, of
):
    address = reverse(f"records:{of}_repairs", args=[getattr(here, of).pk])
    part = planner_client.get(address, headers={"HX-Request": "true"})
    assert draft.number in part.content.decode()
    assert "<html" not in part.content.decode()
    assert "<html" in planner_client.get(address).content.decode()


def test_a_panel_leads_to_the_whole_list(here, planner_client):
    for day in range(11):
        RepairFactory(
            position=here.position, reported_at=REPORTED + timedelta(days=day)
        )
    address = reverse("records:position_repairs", args=[here.position.pk])
    answer = planner_client.get(address)
    assert len(answer.context["rows"]) == 10
    assert "All 11 repairs" in page(answer)


def test_panels_of_another_site_are_not_found(here):
    stranger = logged_in(UserFactory(role="planner", sees_all_sites=False))
    for of in ("position", "pump"):
        address = reverse(f"records:{of}_repairs", args=[getattr(here, of).pk])
        assert stranger.get(address).status_code == 404


def test_the_cautions_name_isolation_and_decontamination(db, planner_client):
    told = page(planner_client.get(reverse("records:cautions")))
    assert "This record is not a permit." in told
    assert "decontamination tag" in told
    assert "29 CFR 1910.147(d)" in told
