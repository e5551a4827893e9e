"""The page on what drives life, and its file."""

import csv
import io

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests.analytics.driver_plant import SHORT, seal, two_plans
from tests.conftest import logged_in
from tests.factories.plant import (
    FittedLifeFactory,
    PositionFactory,
    SiteFactory,
    UserFactory,
)

pytestmark = pytest.mark.django_db
QUESTION = {"clock": "days", "covariate": "plan", "end": "2025-12-31"}


def answer_of(client, **asked):
    answer = client.get("/life/drivers/", QUESTION | asked)
    assert answer.status_code == 200
    return answer, " ".join(answer.content.decode().split())


def lines_of(answer):
    assert answer.status_code == 200
    return list(csv.DictReader(io.StringIO(answer.getvalue().decode("utf-8-sig"))))


def test_the_page_says_the_ratio_as_a_fitter_understands_it(engineer_client):
    two_plans()
    answer, page = answer_of(engineer_client)
    (driver,) = answer.context["report"].result.drivers
    low, high = driver.interval.low, driver.interval.high
    assert "1 of 1 comparison stands out." in page
    sentence = (
        f"Plan 21 instead of 11: life 3.0 times as long ({low:.1f} to {high:.1f})."
    )
    assert sentence in page
    assert "not proof of a cause" in page
    assert "24 failed and 0 suspended lives of 24 positions in the regression" in page
    assert "Ages are calendar days in service." in page


def test_what_may_be_chance_is_called_so(engineer_client):
    for place, days in enumerate(SHORT):
        seal(days, piping_plan="11" if place % 2 else "21")
    _, page = answer_of(engineer_client)
    assert "Nothing stands out among 1 comparison" in page
    assert "; may be chance." in page


def test_what_is_as_recorded_now_is_named(engineer_client):
    for place, days in enumerate(SHORT):
        position = PositionFactory(speed_rpm=1450 if place % 2 else 2950)
        seal(days, position=position)
    _, page = answer_of(engineer_client, covariate="speed")
    assert "As recorded now, not as of the fitting: speed." in page
    assert "Speed higher by 1,500 r/min: life" in page


def test_refused_covariates_stand_by_name_with_the_reason(engineer_client):
    two_plans(faces=("soft", "soft"))
    answer, _ = answer_of(engineer_client, covariate=["plan", "faces", "which"])
    shown = [
        [cell["text"] for cell in row] for row in answer.context["refused"]["rows"]
    ]
    assert shown == [
        ["Which bearing", "belongs to bearings only."],
        ["Faces", "has one value only."],
    ]


def test_a_shape_that_changes_too_is_a_warning(engineer_client):
    for days in SHORT:
        seal(days, piping_plan="11")
        seal(400 + days // 50, piping_plan="21")
    _, page = answer_of(engineer_client)
    assert "Piping plan: 21 seems to change the shape of life" in page


def test_several_lives_of_a_position_are_said(engineer_client):
    two_plans()
    first = seal(70, piping_plan="11")
    FittedLifeFactory(
        pump=first.pump,
        position=first.position,
        piping_plan="11",
        fitted_at=first.removed_at,
    )
    _, page = answer_of(engineer_client)
    assert "Several lives come from one position" in page


def test_too_little_is_refused_in_words(engineer_client):
    seal(100, piping_plan="11")
    answer, page = answer_of(engineer_client)
    assert "Choose fewer covariates, or a wider or narrower choice" in page
    assert answer.context["chart"] is None


def test_an_empty_database_is_answered(engineer_client):
    answer = engineer_client.get("/life/drivers/")
    assert "No life on record meets this choice" in answer.content.decode()
    assert lines_of(engineer_client.get("/life/drivers/export.csv")) != []


def test_what_was_taken_unasked_is_ticked(engineer_client):
    two_plans(faces=("hard", "soft"))
    for question in ({}, {"component": "seal"}):
        answer = engineer_client.get("/life/drivers/", question)
        ticked = [
            choice.data["value"]
            for choice in answer.context["form"]["covariate"]
            if choice.data["selected"]
        ]
        assert ticked == ["plan", "faces"]


def test_only_what_suits_the_component_is_offered(engineer_client):
    answer = engineer_client.get("/life/drivers/", {"component": "bearing"})
    offered = {c.data["value"] for c in answer.context["form"]["covariate"]}
    assert "lubrication" in offered
    assert "plan" not in offered


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        ({"covariate": "colour"}, "Select a valid choice."),
        ({"clock": "starts"}, "Select a valid choice."),
        ({"end": "2099-01-01"}, "Choose today or an earlier day."),
        ({"end": "0026-01-01"}, "A year from 1900 to 2100 is expected."),
        ({"component": "impeller"}, "Select a valid choice."),
    ],
)
def test_a_question_that_makes_no_sense_is_refused(engineer_client, asked, sentence):
    answer = engineer_client.get("/life/drivers/", asked)
    assert sentence in answer.content.decode()
    assert "report" not in answer.context
    assert engineer_client.get("/life/drivers/export.csv", asked).status_code == 400


def test_the_file_holds_the_numbers_of_the_page(engineer_client):
    two_plans(faces=("hard", "soft"))
    asked = QUESTION | {"covariate": ["plan", "faces"]}
    answer, page = answer_of(engineer_client, covariate=["plan", "faces"])
    lines = lines_of(engineer_client.get("/life/drivers/export.csv", asked))
    shown = answer.context["chart"]["rows"]
    for row, line in zip(shown, lines, strict=False):
        assert row[1]["text"] == f"{float(line['ratio_of_life']):.2f}"
        limits = f"{float(line['low']):.2f} to {float(line['high']):.2f}"
        assert row[2]["text"] == limits
        assert line["in_words"] in page
    assert [line["covariate"] for line in lines[:2]] == ["Piping plan", "Faces"]
    assert any("not proof of a cause" in line["in_words"] for line in lines)


def test_what_belongs_to_another_site_is_not_shown():
    two_plans()
    user = UserFactory(sees_all_sites=False)
    user.sites.add(SiteFactory())
    _, page = answer_of(logged_in(user))
    assert "No life on record meets this choice" in page


@pytest.mark.parametrize("clock", ["days", "hours"])
def test_the_number_of_queries_does_not_grow(engineer_client, clock):
    two_plans()
    found = []
    for _ in range(2):
        with CaptureQueriesContext(connection) as captured:
            answer_of(engineer_client, clock=clock)
        found.append(len(captured))
        two_plans()
    assert found[0] == found[1]


def test_the_answer_leads_to_the_note_on_its_method(engineer_client):
    page = engineer_client.get("/life/drivers/").content.decode()
    assert 'href="/life/methods/#drivers"' in page
    assert 'id="drivers"' in engineer_client.get("/life/methods/").content.decode()
