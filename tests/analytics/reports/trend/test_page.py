"""The Trend page, its files, and the panel of a position."""

import csv
import io

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests.analytics.trend_plant import IMPROVING, STEADY, WORSENING, repaired
from tests.conftest import logged_in
from tests.factories.plant import (
    AreaFactory,
    DutyPeriodFactory,
    PositionFactory,
    SiteFactory,
    UserFactory,
)
from tests.factories.records import HourReadingFactory

pytestmark = pytest.mark.django_db
QUESTION = {"end": "2022-12-31"}


def text_of(client, **asked):
    answer = client.get("/trend/", QUESTION | asked)
    assert answer.status_code == 200
    return " ".join(answer.content.decode().split())


def lines_of(answer):
    assert answer.status_code == 200
    return list(csv.reader(io.StringIO(answer.getvalue().decode("utf-8-sig"))))


def test_the_page_says_in_words_whether_repairs_come_faster(engineer_client):
    repaired(WORSENING, tag="W")
    repaired(IMPROVING, tag="I")
    repaired(STEADY, tag="S")
    worse = text_of(engineer_client, position="W")
    assert "Repairs come faster the longer the records run: both tests see it" in worse
    assert "It stands out also among the 3 positions with 4 events or more" in worse
    assert "W had 8 repairs in 1,096 days; its 2 peers had 8.0 on average" in worse
    better = text_of(engineer_client, position="I")
    assert "Repairs come slower the longer the records run" in better
    steady = text_of(engineer_client, position="S")
    assert "No trend can be told: 8 repairs came as a steady rate" in steady


def test_a_trend_found_by_looking_at_many_is_called_a_hint(engineer_client):
    repaired((500, 800, 950, 1000, 1060), tag="W")
    for _ in range(12):
        repaired(STEADY)
    page = text_of(engineer_client, position="W")
    assert "But who looks at 13 positions meets such a trend by chance" in page


def test_the_page_says_its_sample_its_clock_and_its_rule(engineer_client):
    repaired(STEADY)
    repaired(())
    page = text_of(engineer_client)
    assert "Sample: 2 positions, 8 repairs, 72.0 position-months" in page
    assert "It is no age: what stood there had run before" in page
    assert "Rework is not merged" in page
    assert "Counted from the report on" in page
    assert "By 1,010 days on record a position had 4.0 repairs on average" in page
    assert "With 2 units the limits are a little too narrow" in page


def test_a_refusal_says_what_to_do(engineer_client):
    repaired((100,), tag="P")
    page = text_of(engineer_client, position="P")
    assert "A trend needs at least two events within the watch. Pool more" in page
    assert "it has no peers with events to stand beside it" in page


def test_an_empty_choice_is_refused_in_words(engineer_client):
    page = text_of(engineer_client)
    assert "No position of this choice was watched. Widen the choice" in page
    assert engineer_client.get("/trend/export.csv").status_code == 200


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        ({"position": "P-NONE"}, "No position is called P-NONE here."),
        ({"end": "2099-01-01"}, "Choose today or an earlier day."),
        ({"end": "0026-01-01"}, "A year from 1900 to 2100 is expected."),
        ({"counted": "colours"}, "Select a valid choice."),
        ({"clock": "starts"}, "Select a valid choice."),
    ],
)
def test_a_question_that_makes_no_sense_is_refused(engineer_client, asked, sentence):
    answer = engineer_client.get("/trend/", asked)
    assert sentence in answer.content.decode()
    assert "report" not in answer.context
    for file in ("export", "results"):
        assert engineer_client.get(f"/trend/{file}.csv", asked).status_code == 400


def test_a_tag_of_two_sites_needs_the_site(engineer_client):
    for name in ("North", "South"):
        repaired(STEADY, tag="P-1", area=AreaFactory(site=SiteFactory(name=name)))
    assert "Several sites have a P-1" in text_of(engineer_client, position="P-1")
    (site,) = {p.site_id for p in [repaired((), tag="P-2")]}
    assert "No position is called P-1 here." in text_of(
        engineer_client, position="P-1", site=site
    )


def test_what_narrows_a_group_says_nothing_of_a_single_position(engineer_client):
    repaired(STEADY, tag="A", liquid="acid")
    repaired(STEADY, tag="B", liquid="caustic")
    page = text_of(engineer_client, position="A", liquid="caustic")
    assert "A had 8 repairs in 1,096 days; its 1 peer" in page


@pytest.mark.parametrize(
    ("asked", "expected"),
    [
        ({"liquid": "acid"}, "A"),
        ({"criticality": "high"}, "B"),
        ({"plan": "21"}, "C"),
    ],
)
def test_choices_narrow_the_positions(engineer_client, asked, expected):
    repaired(STEADY, tag="A", liquid="acid")
    repaired(STEADY, tag="B", criticality="high")
    DutyPeriodFactory(position=repaired(STEADY, tag="C"), piping_plan="21")
    answer = engineer_client.get("/trend/", QUESTION | asked)
    tags = answer.context["report"].group.histories.units["tag"].tolist()
    assert tags == [expected]


def test_the_file_holds_the_numbers_of_the_page(engineer_client):
    repaired(WORSENING, tag="W")
    repaired(STEADY)
    for asked in ({}, {"position": "W"}):
        question = QUESTION | asked
        lines = lines_of(engineer_client.get("/trend/export.csv", question))[1:]
        rows = engineer_client.get("/trend/", question).context["chart"]["rows"]
        assert [row[4]["text"] for row in rows] == [
            f"{float(line[5]):.4f}" for line in lines
        ]
        results = lines_of(engineer_client.get("/trend/results.csv", question))[1:]
        shown = engineer_client.get("/trend/", question).context["results"]["rows"]
        assert [row[0]["text"] for row in shown] == [
            line[0] for line in results[: len(shown)]
        ]
        assert f"{float(results[0][1]):.4f}" in shown[0][1]["text"].replace("−", "-")


def test_a_position_without_repairs_stands_beside_its_peers(engineer_client):
    position = repaired((), tag="NONE")
    repaired(STEADY)
    answer = engineer_client.get("/trend/", QUESTION | {"position": "NONE"})
    names = [trace["name"] for trace in answer.context["chart"]["figure"]["data"]]
    assert names[0] == position.tag
    assert "NONE had no repairs in 1,096 days; its 1 peer had 8.0 on average" in (
        answer.content.decode()
    )


def test_a_single_position_is_counted_and_has_no_limits(engineer_client):
    repaired(STEADY, tag="P")
    question = QUESTION | {"position": "P"}
    lines = lines_of(engineer_client.get("/trend/export.csv", question))[1:]
    assert {(line[6], line[7]) for line in lines} == {("", "")}


def test_calendar_days_and_running_hours_stand_apart(engineer_client):
    position = repaired(STEADY, tag="P")
    for moment, hours in (("2020-01-01T00:00Z", 0), ("2022-12-31T00:00Z", 9_000)):
        HourReadingFactory(position=position, read_at=moment, meter_hours=hours)
    page = text_of(engineer_client, position="P", clock="hours")
    assert "P had 8 repairs in 9,000 running hours" in page
    assert "calendar days are never mixed in" in page
    assert "position-months" not in page


def test_positions_that_change_stand_in_a_table_that_leads_to_each(engineer_client):
    position = repaired(WORSENING, tag="W")
    repaired(STEADY, tag="S")
    answer = engineer_client.get("/trend/", QUESTION)
    rows = answer.context["positions"]["rows"]
    assert [row[0]["text"] for row in rows] == ["W", "S"]
    assert rows[0][2]["flag"] == "stands out"
    assert rows[1][2]["flag"] == ""
    target = engineer_client.get(rows[0][0]["url"])
    assert target.context["report"].question.subject == position


def test_a_long_curve_is_thinned_on_the_page_and_whole_in_the_file(engineer_client):
    repaired(range(1, 251))
    answer = engineer_client.get("/trend/", QUESTION)
    assert len(answer.context["chart"]["rows"]) == 200
    assert "shows some of the steps" in answer.content.decode()
    assert len(lines_of(engineer_client.get("/trend/export.csv", QUESTION))) == 251


def test_the_panel_of_a_position_leads_to_the_curve(engineer_client):
    position = repaired(WORSENING, tag="W 1")
    panel = engineer_client.get(
        f"/positions/{position.pk}/trend/", headers={"HX-Request": "true"}
    ).content.decode()
    assert "<html" not in panel
    assert "plotly" not in panel
    assert f"/trend/?site={position.site_id}&amp;position=W+1" in panel
    page = engineer_client.get(f"/positions/{position.pk}/trend/").content.decode()
    assert "<html" in page
    assert "Repairs by time on record" in page


def test_the_panel_fetches_the_curve_when_it_is_opened(engineer_client):
    position = repaired(WORSENING, tag="W 1")
    address, htmx = f"/positions/{position.pk}/trend/", {"HX-Request": "true"}
    panel = engineer_client.get(address, headers=htmx).content.decode()
    assert f'hx-get="{address}?curve=yes" hx-trigger="toggle once"' in panel
    curve = engineer_client.get(f"{address}?curve=yes", headers=htmx).content.decode()
    assert "<html" not in curve
    assert "Numbers behind this chart" in curve
    assert "plotly" in curve


def test_a_position_without_any_event_has_no_curve_and_says_so(engineer_client):
    position = repaired((), tag="W 2")
    address, htmx = f"/positions/{position.pk}/trend/", {"HX-Request": "true"}
    curve = engineer_client.get(f"{address}?curve=yes", headers=htmx).content.decode()
    assert "There is nothing to draw" in curve


def test_equal_numbers_of_events_are_no_certainty(engineer_client):
    for tag in ("W 3", "W 4", "W 5"):
        repaired((100, 200, 300), tag=tag)
    assert "that is no certainty" in text_of(engineer_client)


def test_the_answer_leads_to_the_note_on_its_method(engineer_client):
    repaired(WORSENING)
    assert 'href="/life/methods/#trend"' in text_of(engineer_client)
    assert 'id="trend"' in engineer_client.get("/life/methods/").content.decode()


def test_what_belongs_to_another_site_is_not_shown():
    position = repaired(STEADY, tag="P-9")
    user = UserFactory(sees_all_sites=False)
    user.sites.add(SiteFactory())
    client = logged_in(user)
    assert client.get(f"/positions/{position.pk}/trend/").status_code == 404
    page = text_of(client, position="P-9")
    assert "No position is called P-9 here." in page


def queries_of(client, **asked):
    with CaptureQueriesContext(
        connection,
    ) as captured:
        text_of(client, **asked)
    return len(captured)


@pytest.mark.parametrize("clock", ["days", "hours"])
def test_the_number_of_queries_does_not_grow(engineer_client, clock):
    def fill(tag):
        area = AreaFactory()
        position = repaired(STEADY, tag=tag, area=area)
        for other in (position, PositionFactory(area=area)):
            for moment, hours in (
                ("2020-01-01T00:00Z", 0),
                ("2022-12-31T00:00Z", 9_000),
            ):
                HourReadingFactory(position=other, read_at=moment, meter_hours=hours)
            DutyPeriodFactory(position=other, piping_plan="11")

    fill("P-1")
    asked = [{"clock": clock}, {"clock": clock, "position": "P-1", "merge": "on"}]
    before = [queries_of(engineer_client, **question) for question in asked]
    for number in range(2, 5):
        fill(f"P-{number}")
    assert [queries_of(engineer_client, **question) for question in asked] == before
