"""The views of a population speak of the same lives and keep the question."""

import re

import pytest

from analytics.reports.life.methods import METHODS
from tests.analytics.seals_on_record import PUMP_A, fitted, page_of, seals
from tests.conftest import logged_in
from tests.factories.plant import UserFactory

VIEWS = ["distributions", "comparison", "replacement", "forecast"]


@pytest.mark.parametrize("view", ["", *(f"{view}/" for view in VIEWS)])
def test_every_tab_leads_to_the_same_question(engineer_client, view):
    seals(PUMP_A)
    tabs = engineer_client.get(f"/life/{view}?part=MS-40&confidence=95").context["tabs"]
    *tabs, drivers = tabs
    assert drivers["url"] == "/life/drivers/?component=seal"
    assert len(tabs) == 5
    assert all(tab["url"].endswith("?part=MS-40&confidence=95") for tab in tabs)
    assert [tab["is_current"] for tab in tabs].count(True) == 1


@pytest.mark.parametrize("view", VIEWS)
def test_every_view_names_its_sample_and_its_method(engineer_client, view):
    seals(PUMP_A)
    page = engineer_client.get(f"/life/{view}/").content.decode()
    page = re.sub(r"\s+", " ", page)
    assert "10 failed, 0 suspended, 0 left out" in page
    assert "Counted as failure: failed" in page
    assert f'href="/life/methods/#{view}"' in page


def test_one_form_carries_what_the_other_asked(engineer_client):
    seals(PUMP_A)
    address = "/life/replacement/?part=MS-40&planned=10&failure=90"
    page = engineer_client.get(address).content.decode()
    for name, value in (("planned", "10"), ("failure", "90"), ("part", "MS-40")):
        hidden = f'<input type="hidden" name="{name}" value="{value}">'
        assert page.count(hidden) == 1


def test_a_mixture_is_warned_of_in_every_view_that_would_hide_it(engineer_client):
    seals(PUMP_A, part_number="LIFE-A")
    seals(PUMP_A, part_number="LIFE-B")
    for view in VIEWS:
        page = engineer_client.get(f"/life/{view}/").content.decode()
        assert ("This sample mixes 2 parts" in page) == (view != "comparison")


@pytest.mark.parametrize("view", [*VIEWS, "rating"])
def test_a_wrong_choice_is_refused_beside_its_field(engineer_client, view):
    query = "?confidence=7&part=none"
    page = engineer_client.get(f"/life/{view}/{query}")
    assert page.status_code == 200
    assert "none is not one of the available choices" in page.content.decode()
    assert page.context["answer"] is None
    assert engineer_client.get(f"/life/{view}.csv{query}").status_code == 400


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize(
    "lives",
    [
        [],
        [{}],
        [{"hours": 500}],
        [{"hours": 500}] * 4,
        [{"hours": 500}, {"hours": 900}, {}],
        [{"hours": 0.001}, {"hours": 900_000}, {"hours": 40}],
    ],
    ids=["none", "none failed", "one failed", "all equal", "two", "far apart"],
)
@pytest.mark.parametrize("clock", ["hours", "days", "starts"])
def test_no_sample_breaks_a_view(engineer_client, view, lives, clock):
    for life in lives:
        fitted(**life)
    query = f"?clock={clock}&planned=1&failure=9&split=part"
    answer = engineer_client.get(f"/life/{view}/{query}").context["answer"]
    assert answer.refusal or answer.lead
    file = engineer_client.get(f"/life/{view}.csv{query}")
    assert file.status_code == 200


@pytest.mark.parametrize("view", [*VIEWS, "rating"])
@pytest.mark.parametrize("kind", ["/", ".csv"])
def test_every_view_asks_for_a_log_in(client, view, kind):
    response = client.get(f"/life/{view}{kind}")
    assert response.status_code == 302
    assert response["Location"].startswith("/login/")


@pytest.mark.parametrize("view", VIEWS)
def test_lives_of_another_site_take_no_part(db, view):
    mine = seals(PUMP_A)
    for life in mine[1:]:
        type(life.pump).objects.filter(pk=life.pump_id).update(site=mine[0].pump.site)
    fitted(2_000, part_number="SECRET-1")
    user = UserFactory(sees_all_sites=False, role="reliability engineer")
    user.sites.add(mine[0].pump.site)
    page = logged_in(user).get(f"/life/{view}/").content.decode()
    assert "SECRET-1" not in page
    assert "10 failed, 0 suspended, 0 left out" in re.sub(r"\s+", " ", page)


def test_every_method_has_a_place_formula_and_source(engineer_client):
    page = engineer_client.get("/life/methods/").content.decode()
    for method in METHODS:
        assert f'id="{method.anchor}"' in page
        assert method.source
        assert method.formula


def test_the_mean_has_an_interval_and_intervals_are_explained(engineer_client):
    seals(PUMP_A)
    response = engineer_client.get("/life/")
    mean = response.context["tiles"][3]
    assert mean["label"] == "Mean life"
    assert "interval" in mean["interval"]
    assert "holds the true value in 90" in response.content.decode()


def test_few_failures_show_how_the_answer_moves_with_the_shape(engineer_client):
    seals(PUMP_A[:5])
    page = page_of(engineer_client)
    assert "Life at an assumed shape" in page
    assert "How the answer moves with the shape" in page


def test_enough_failures_show_it_only_when_asked(engineer_client):
    seals(PUMP_A)
    assert "Life at an assumed shape" not in page_of(engineer_client)
    assert "Life at an assumed shape" in page_of(engineer_client, "?shape=2")


def test_the_share_that_outlasts_a_year_and_an_age_of_choice(engineer_client):
    """exp(-(20,000 / 28,860.2) ^ 4.4281) = 0.8212."""
    seals(PUMP_A)
    rows = engineer_client.get("/life/?age=20000").context["outlasting"]["rows"]
    assert [row[0]["text"] for row in rows] == ["Outlast 8,766 h", "Outlast 20,000 h"]
    assert rows[1][1]["text"] == "82.1\xa0%"
    assert " to " in rows[1][2]["text"]


def test_what_lies_ahead_leads_to_the_forecast(engineer_client):
    seals(PUMP_A)
    fitted()
    page = page_of(engineer_client, "?part=MS-40")
    assert "With 1 in service now, and new ones in place of those that fail" in page
    assert 'href="/life/forecast/?part=MS-40"' in page
