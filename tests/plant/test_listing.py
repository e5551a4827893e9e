"""Sorting and heads of list pages, and their CSV files."""

import pytest
from django.http import QueryDict

from plant.csv_export import csv_response
from plant.forms.fields import MeasureField
from plant.hazards import hazards_in_words
from plant.listing import Column, header_cells, page_of, rows_sorted
from plant.models import Position
from plant.tables.cells import as_entered
from tests.factories.plant import AreaFactory, PositionFactory

COLUMNS = (
    Column("Tag", "tag", ("tag",)),
    Column("Flow", "flow", ("flow_m3_h",), numeric=True),
    Column("Remark"),
)


@pytest.fixture
def three_flows(db):
    area = AreaFactory()
    for tag, flow in (("P-1", 20.0), ("P-2", None), ("P-3", 10.0)):
        PositionFactory(area=area, tag=tag, flow_m3_h=flow)


def tags(query: str) -> list[str]:
    rows = rows_sorted(Position.objects.all(), COLUMNS, QueryDict(query))
    return [row.tag for row in rows]


def test_blanks_come_last_in_either_direction(three_flows):
    assert tags("sort=flow") == ["P-3", "P-1", "P-2"]
    assert tags("sort=-flow") == ["P-1", "P-3", "P-2"]


@pytest.mark.parametrize("query", ["", "sort=", "sort=-", "sort=site__name"])
def test_what_is_no_column_leaves_the_order(three_flows, query):
    assert tags(query) == ["P-1", "P-2", "P-3"]


def test_a_head_keeps_the_filters_and_starts_at_the_first_page():
    query = QueryDict("text=acid&area=3&page=4&sort=tag")
    tag, flow, remark = header_cells(COLUMNS, query)
    assert tag["sort_url"] == "?text=acid&area=3&sort=-tag"
    assert tag["sorted"] == "ascending"
    assert flow["sort_url"] == "?text=acid&area=3&sort=flow"
    assert "sorted" not in flow
    assert "sort_url" not in remark


@pytest.mark.parametrize(("asked", "shown"), [("2", 2), ("99", 2), ("x", 1), ("-1", 2)])
def test_a_page_that_is_not_there_becomes_one_that_is(three_flows, asked, shown):
    rows = Position.objects.order_by("tag")
    assert page_of(rows, QueryDict(f"page={asked}"), size=2).number == shown


def test_a_file_is_utf8_with_mark_and_quotes_what_needs_it():
    response = csv_response("x.csv", ["a", "b"], [['Müller, "A"', 1.5], ["", None]])
    content = b"".join(response.streaming_content)
    assert content.startswith(b"\xef\xbb\xbf")
    assert content.decode("utf-8-sig") == ('a,b\r\n"Müller, ""A""",1.5\r\n,\r\n')
    assert response["Content-Disposition"] == 'attachment; filename="x.csv"'


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r"])
def test_text_that_a_spreadsheet_would_run_is_quoted(start):
    response = csv_response("x.csv", ["a"], [[f"{start}1+1"]])
    assert f"'{start}1+1" in b"".join(response.streaming_content).decode()


def test_negative_numbers_stay_numbers():
    response = csv_response("x.csv", ["a"], [[-3.5]])
    assert b"".join(response.streaming_content).endswith(b"-3.5\r\n")


def test_hazards_are_said_in_words_and_unknown_ones_as_they_are():
    assert hazards_in_words(["toxic", "environment"]) == (
        "toxic, harmful to the environment"
    )
    assert hazards_in_words(["radioactive"]) == "radioactive"
    assert hazards_in_words([]) == ""


@pytest.mark.parametrize(
    ("value", "shown"),
    [(60.0, "60"), (52.65, "52.65"), (1450.0, "1,450"), (0.5, "0.5")],
)
def test_design_values_show_the_digits_they_were_given(value, shown):
    assert as_entered(value) == shown


def test_a_whole_measure_comes_back_without_its_point():
    field = MeasureField("m")
    assert field.prepare_value(60.0) == 60
    assert field.prepare_value(52.5) == 52.5
    assert field.prepare_value("60.") == "60."
