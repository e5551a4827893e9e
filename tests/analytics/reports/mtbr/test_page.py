"""The MTBR page, its export and the panel of a position."""

import csv
import io
from datetime import UTC, date, datetime, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from analytics.exposure import Window
from analytics.reports.mtbr.report import Grouping, mtbr_report
from analytics.reports.mtbr.table import export_row
from analytics.scope import Scope
from tests.factories.plant import PositionFactory, UserFactory
from tests.factories.records import RepairFactory

FOUR_YEARS = Window(date(2021, 1, 1), date(2024, 12, 31))
QUESTION = {"by": "position", "start": "2021-01-01", "end": "2024-12-31"}


@pytest.mark.django_db
def test_the_export_holds_the_numbers_of_the_page(engineer, engineer_client):
    for size in (1, 2, 5):
        RepairFactory.create_batch(size, position=PositionFactory())
    answer = engineer_client.get("/mtbr/export.csv", QUESTION)
    lines = list(csv.reader(io.StringIO(answer.getvalue().decode("utf-8-sig"))))
    report = mtbr_report(Scope(engineer, FOUR_YEARS), Grouping.POSITION)
    expected = [export_row(line, report) for line in [*report.lines, report.total]]
    as_text = [["" if cell is None else str(cell) for cell in row] for row in expected]
    assert lines[1:] == as_text
    page = engineer_client.get("/mtbr/", QUESTION)
    shown = [[cell["text"] for cell in row] for row in page.context["rows"]]
    assert [row[4] for row in shown] == [f"{float(row[5]):.1f}" for row in lines[1:-1]]
    assert [row[9] for row in shown] == [
        f"{float(row[12]):,.0f} to {float(row[13]):,.0f}" for row in lines[1:-1]
    ]


@pytest.mark.django_db
def test_the_page_says_what_it_counts_and_how_many_are_open(engineer_client):
    RepairFactory()
    text = engineer_client.get("/mtbr/", QUESTION).content.decode()
    assert "every repair, except adjust, service, oil or grease" in text
    assert "1 of them open or unsigned" in text
    assert "90\u00a0% interval" in text


@pytest.mark.django_db
def test_a_position_without_repairs_shows_a_bound_and_its_months(engineer_client):
    PositionFactory()
    text = engineer_client.get("/mtbr/", QUESTION).content.decode()
    assert "no repairs in 48.0 position-months" in text
    assert "at least 20.8" in text


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        ({"start": "2024-02-01", "end": "2024-01-01"}, "Choose a day not after"),
        ({"end": "2099-01-01"}, "Choose today or an earlier day."),
        ({"start": "0001-01-01"}, "A year from 1900 to 2100 is expected."),
        ({"end": "soon"}, "Enter a valid date."),
        ({"by": "colour"}, "Select a valid choice."),
    ],
)
def test_a_question_that_makes_no_sense_is_refused_in_words(
    engineer_client, asked, sentence
):
    answer = engineer_client.get("/mtbr/", asked)
    assert sentence in answer.content.decode()
    assert "report" not in answer.context
    assert engineer_client.get("/mtbr/export.csv", asked).status_code == 400


@pytest.mark.django_db
@pytest.mark.parametrize("by", Grouping.values)
def test_every_grouping_answers_on_an_empty_database(engineer_client, by):
    answer = engineer_client.get("/mtbr/", {"by": by})
    assert answer.status_code == 200
    assert "No position was in service" in answer.content.decode()


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("by", "title"),
    [
        ("plan", "between failures of seals, by piping plan (component time)"),
        ("designation", "between failures of bearings, by designation (component"),
    ],
)
def test_a_grouping_by_component_says_that_it_is_about_components(
    engineer_client, by, title
):
    text = engineer_client.get("/mtbr/", {"by": by}).content.decode()
    assert f"Mean time {title}" in text
    assert "These are not repairs of pumps" in text
    of_pumps = engineer_client.get("/mtbr/", {"by": "area"}).content.decode()
    assert "Mean time between repairs" in of_pumps
    assert "These are not repairs of pumps" not in of_pumps


@pytest.mark.django_db
def test_the_number_of_queries_stays_when_rows_double(
    engineer_client, django_assert_num_queries
):
    def grow():
        for position in PositionFactory.create_batch(3):
            RepairFactory.create_batch(2, position=position)

    grow()
    with CaptureQueriesContext(connection) as few:
        engineer_client.get("/mtbr/", QUESTION)
    grow()
    with django_assert_num_queries(len(few)):
        engineer_client.get("/mtbr/", QUESTION)


@pytest.mark.django_db
def test_the_panel_of_a_position_is_a_fragment_for_htmx_and_a_page_without(
    engineer_client,
):
    position = PositionFactory(tag="P-777")
    RepairFactory(position=position, reported_at=datetime.now(UTC) - timedelta(days=30))
    address = f"/positions/{position.pk}/mtbr/"
    panel = engineer_client.get(address, headers={"HX-Request": "true"})
    page = engineer_client.get(address)
    assert "<html" not in panel.content.decode()
    assert "Back to P-777" in page.content.decode()
    assert "1 repair in 12.0 position-months" in panel.content.decode()


@pytest.mark.django_db
def test_the_panel_of_a_position_elsewhere_is_not_found(client):
    user = UserFactory(sees_all_sites=False)
    position = PositionFactory()
    client.force_login(user, backend="django.contrib.auth.backends.ModelBackend")
    assert client.get(f"/positions/{position.pk}/mtbr/").status_code == 404


@pytest.mark.django_db
def test_the_page_asks_for_a_log_in(client):
    assert client.get("/mtbr/").status_code == 302
