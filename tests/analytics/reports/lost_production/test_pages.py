"""The page of lost production, its file, and the panel of a repair."""

import csv
from decimal import Decimal
from io import StringIO

import pytest
from django.urls import reverse

from plant.choices import Sparing
from records.choices import CostKind, CostStatus, RepairState
from records.models import CostLine
from tests.analytics.reports.lost_production.plant import (
    alone,
    at,
    group_of,
    line,
    stop,
)
from tests.conftest import logged_in
from tests.factories.plant import SiteFactory, UserFactory
from tests.factories.records import RepairFactory

pytestmark = pytest.mark.django_db
HERE = "/costs/lost-production/"
MARCH = {"start": "2024-03-01", "end": "2024-03-31"}


def page(client, **asked):
    answer = client.get(HERE, MARCH | asked)
    assert answer.status_code == 200
    return answer.content.decode().replace("\u00a0", " ").replace("&nbsp;", " ")


def exported(client, **asked):
    answer = client.get(f"{HERE}export.csv", MARCH | asked)
    text = b"".join(answer.streaming_content).decode("utf-8-sig")
    return list(csv.DictReader(StringIO(text)))


def panel(client, repair, **more):
    address = reverse("analytics:repair_lost_production", args=[repair.pk])
    return client.get(address, **more)


def test_the_page_shows_formula_entered_figure_and_which_counts(manager_client):
    line(stop(alone(buffer_hours=4, output_share_lost=0.6), 0, 31.5), "1200.00")
    text = page(manager_client)
    assert "31.5 h − 4 h buffer = 27.5 h × EUR 350.00/h × 60 % = EUR 5,775.00" in text
    assert "EUR 1,200.00 (booked)" in text
    assert "entered" in text
    assert "Lost production" in text


def test_an_outcome_can_be_chosen(manager_client):
    first, _ = group_of(2)
    stop(first, 0, 10, "R-COVERED")
    stop(alone(), 0, 10, "R-LOST")
    assert "R-LOST" not in page(manager_client, show="covered")
    assert "R-COVERED" not in page(manager_client, show="loss")
    assert manager_client.get(HERE, {"show": "nonsense"}).status_code == 200
    assert "R-LOST" not in page(manager_client, show="entered")


def test_questions_to_the_register_name_the_position(manager_client):
    stop(alone("P-NOBODY", cost=0), 0, 10)
    stop(alone("P-SPARED", sparing=Sparing.INSTALLED), 0, 10)
    first, _ = group_of(2, needed=3)
    stop(first, 0, 10)
    text = page(manager_client)
    assert "What does an hour of stop cost here?" in text
    assert "No spare group names one" in text
    assert "more running than it has in service" in text


def test_a_plant_without_stoppages_says_so(manager_client):
    assert "No stoppage of this kind" in page(manager_client)
    assert exported(manager_client) == []


def test_rows_can_be_sorted_and_are_paged(manager_client):
    for number in range(60):
        stop(alone(f"P-{number}", cost=10 + number), 0, 10, f"R-{number:03d}")
    dearest_first = page(manager_client)
    assert "R-059" in dearest_first
    assert "R-009" not in dearest_first
    assert "R-009" in page(manager_client, page=2)
    assert "R-059" not in page(manager_client, sort="tag", page=1, show="covered")
    cheapest_first = page(manager_client, sort="worked")
    assert cheapest_first.index("R-000") < cheapest_first.index("R-001")
    for key in ("number", "tag", "stopped", "hours", "lost", "entered", "none"):
        assert "R-0" in page(manager_client, sort=f"-{key}")


def test_the_file_has_every_row_as_numbers(manager_client):
    position = alone("=P-1", buffer_hours=4, output_share_lost=0.6)
    line(stop(position, 0, 31.5, "R-1"), "12.00", status=CostStatus.ESTIMATE)
    for number in range(60):
        stop(alone(f"P-{number}"), 0, 1)
    rows = exported(manager_client)
    assert len(rows) == 61
    first = rows[0]
    assert first["tag"] == "'=P-1"
    assert first["hours_stopped_in_period"] == "31.5"
    assert first["buffer_hours_used"] == "4.0"
    assert first["hours_lost"] == "27.5"
    assert first["worked_out"] == "5775.00"
    assert first["worked_out_counted"] == "0.00"
    assert first["entered_estimate"] == "12.00"
    assert first["what_counts"] == "entered"
    counted = sum(Decimal(row["worked_out_counted"]) for row in rows)
    assert counted == 60 * 350


def test_a_period_that_ends_before_it_begins_is_refused_beside_its_field(
    manager_client,
):
    asked = {"start": "2024-03-09", "end": "2024-03-01"}
    assert "Choose a day not after" in page(manager_client, **asked)
    answer = manager_client.get(f"{HERE}export.csv", asked)
    assert answer.status_code == 400


def test_a_fitter_sees_no_lost_production(client):
    browser = logged_in(UserFactory(role="fitter"))
    repair = stop(alone(), 0, 10)
    assert browser.get(HERE).status_code == 403
    assert browser.get(f"{HERE}export.csv").status_code == 403
    assert panel(browser, repair).status_code == 403
    detail = browser.get(repair.get_absolute_url()).content.decode()
    assert "lost-production" not in detail


def test_a_person_of_another_site_sees_none_of_it():
    stranger = UserFactory(role="manager", sees_all_sites=False)
    stranger.sites.add(SiteFactory())
    browser = logged_in(stranger)
    repair = stop(alone("P-SECRET"), 0, 10)
    assert panel(browser, repair).status_code == 404
    site = repair.site_id
    assert "P-SECRET" not in page(browser, site=site)
    assert "P-SECRET" not in page(browser, area=repair.position.area_id)
    assert exported(browser) == []


def test_the_page_of_a_repair_links_its_panel(planner_client):
    repair = stop(alone(), 0, 10)
    detail = planner_client.get(repair.get_absolute_url()).content.decode()
    assert reverse("analytics:repair_lost_production", args=[repair.pk]) in detail


def test_the_panel_tells_the_whole_stoppage_with_its_formula(planner_client):
    repair = stop(alone(buffer_hours=4), -2000, -1900)
    whole = panel(planner_client, repair).content.decode().replace("\u00a0", " ")
    part = panel(planner_client, repair, headers={"HX-Request": "true"})
    assert "100 h − 4 h buffer = 96 h × EUR 350.00/h = EUR 33,600.00." in whole
    assert "<html" in whole
    assert "<html" not in part.content.decode()


def test_the_panel_says_who_bears_a_group_s_loss_and_why(planner_client):
    first, second = group_of(2)
    earlier, later = stop(first, 0, 50, "R-1"), stop(second, 30, 80)
    assert "the last to go down" in panel(planner_client, later).content.decode()
    line(earlier, "5.00")
    text = panel(planner_client, later).content.decode()
    assert "entered at R-1 for the whole outage" in text
    assert "Enter this" not in text


def test_the_panel_refuses_what_has_no_stoppage(planner_client):
    position = alone()
    repair = stop(position, 0, 10, "R-1")
    running = RepairFactory(position=position)
    shop = RepairFactory(position=position, shop_work_of=repair)
    void = stop(
        *(position, 20, 30), state=RepairState.VOID, void_reason="x", signed_at=at(0)
    )
    assert "was not stopped" in panel(planner_client, running).content.decode()
    assert "that of R-1" in panel(planner_client, shop).content.decode()
    assert "never counts" in panel(planner_client, void).content.decode()


def test_the_link_fills_the_cost_form_and_books_nothing(planner_client):
    repair = stop(alone(), 0, 10)
    context = panel(planner_client, repair).context
    form = planner_client.get(context["enter_url"]).context["form"]
    assert form["kind"].value() == CostKind.LOST_PRODUCTION
    assert form["amount"].value() == "3500.00"
    assert form["status"].value() == CostStatus.ESTIMATE
    assert form["currency"].value() == "EUR"
    assert "10\u00a0h × EUR\u00a0350.00/h" in form["note"].value()
    assert not CostLine.objects.exists()
    typed = {f.name: f.value() or "" for f in form}
    assert planner_client.post(context["enter_url"], typed).status_code == 302
    stored = CostLine.objects.get()
    assert (stored.amount, stored.status) == (Decimal("3500.00"), CostStatus.ESTIMATE)
    assert "entered" in panel(planner_client, repair).content.decode()


def test_a_manager_who_may_not_log_gets_no_link_to_enter(manager_client):
    repair = stop(alone(), 0, 10)
    assert panel(manager_client, repair).context["enter_url"] == ""


def test_the_page_asks_as_often_for_many_as_for_few(
    manager_client, django_assert_max_num_queries
):
    for number in range(30):
        stop(alone(f"P-{number}"), 0, 10)
    with django_assert_max_num_queries(20):
        page(manager_client)
