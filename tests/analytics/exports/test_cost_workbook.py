"""The workbook as a reader of files sees it: text as text, live totals, print."""

import io
import zipfile
from datetime import UTC, date, datetime
from decimal import Decimal
from xml.etree import ElementTree

import pytest
from openpyxl import load_workbook
from openpyxl.utils.escape import unescape

from analytics.exports.cost_lines import HEADER
from analytics.exports.cost_workbook import write_cost_workbook
from analytics.exports.cost_workbook.notes import CHANGED
from analytics.forms.costs import CostForm
from analytics.reports.costs.amounts import cents
from tests.analytics.exports.nasty_ledger import (
    QUESTION,
    STARTS,
    money_tables,
    nasty_ledger,
)
from tests.factories.records import CostLineFactory

pytestmark = pytest.mark.django_db
MADE_ON = datetime(2024, 12, 31, 12, tzinfo=UTC)
GROUPINGS = ("position and failure mode", "site", "area", "position", "pump", "item")
GROUPINGS += ("failure mode", "mechanism", "cause", "part")
# Texts that come again stand once in a table of the book, the others in their cell.
SHARED = {"Area", "Position", "Pump", "Part"}
IN_CELL = {"Repair", "Note"}


def report_of(user, **asked):
    form = CostForm(QUESTION | asked, user=user)
    assert form.is_answerable(), form.errors
    return form.report()


def book_of(report, **more):
    """The workbook twice: with its formulas, and with the values stored."""
    content = io.BytesIO()
    write_cost_workbook(content, report, made_on=MADE_ON, **more)
    return load_workbook(content), load_workbook(content, data_only=True)


def rows_of(sheet):
    heads, *rows = sheet.iter_rows(values_only=True)
    return [dict(zip(heads, row, strict=True)) for row in rows]


def test_there_is_a_sheet_of_every_breakdown(manager):
    nasty_ledger()
    formulas, _ = book_of(report_of(manager))
    assert formulas.sheetnames == [
        *("Summary", "Comparison", "Months", "Top ten"),
        *(f"By {name}" for name in GROUPINGS),
        *("Cost lines", "Notes"),
    ]


def test_every_text_is_kept_and_none_is_a_formula(manager):
    nasty_ledger()
    formulas, _ = book_of(report_of(manager))
    rows = rows_of(formulas["Cost lines"])
    # Of a shared text this reader drops the sign that "_x0041_" was typed as it is; it
    # leaves control signs as the file has them.
    as_read = {"A" if text == "_x0041_" else text for text in STARTS}
    for head in SHARED:
        assert {unescape(row[head]) for row in rows} == as_read, head
    for head in IN_CELL:
        assert {unescape(row[head]) for row in rows} == set(STARTS), head
    for row in formulas["Cost lines"].iter_rows(min_row=2):
        assert {cell.data_type for cell in row} <= {"s", "n", "d"}
    for name in ("By area", "By position", "By pump", "By part", "Top ten"):
        for row in formulas[name].iter_rows(min_row=2):
            own = [cell.value for cell in row if cell.data_type == "f"]
            assert all(text.startswith(("=SUM", "=ROUND", "=F")) for text in own)


def test_texts_stand_in_the_table_of_the_book_as_they_were_typed(manager):
    nasty_ledger()
    content = io.BytesIO()
    write_cost_workbook(content, report_of(manager), made_on=MADE_ON)
    with zipfile.ZipFile(content) as book:
        table = ElementTree.fromstring(book.read("xl/sharedStrings.xml"))
        lines = book.read("xl/worksheets/sheet15.xml").decode()
    texts = [item[0].text for item in table]
    # As the format writes signs that XML does not know, and what looks like that.
    written = {
        "_x0041_": "_x005F_x0041_",
        "\r=1+1": "_x000D_=1+1",
        "a\x0bb": "a_x000B_b",
    }
    marked = {text for text in STARTS if text.startswith("<r>")}
    assert {written.get(text, text) for text in {*STARTS} - marked} <= {*texts}
    assert not marked & {*texts}
    assert int(table.get("uniqueCount")) == len(set(texts)) == len(texts)
    assert int(table.get("count")) == lines.count('t="s"')


def test_dates_are_dates_and_amounts_are_numbers(manager):
    nasty_ledger()
    _, values = book_of(report_of(manager))
    own = [row for row in rows_of(values["Cost lines"]) if row["Repair"] == "=1+1"]
    first = own[0]
    assert first["Reported on"].date() == date(2024, 3, 1)
    assert first["Booked on"].date() == date(2023, 3, 10)
    assert (first["Amount"], first["Currency"]) == (10.0, "EUR")
    assert (first["Amount counted"], first["Counted in"]) == (10.0, "EUR")
    assert first["Category"] == "Corrective"
    assert first["Added up as"] == "Repair cost"
    sheet = values["Cost lines"]
    assert sheet["A2"].number_format == "yyyy-mm-dd"
    assert sheet["Q2"].number_format == "#,##0.00"


def test_sheets_are_set_up_for_print(manager):
    nasty_ledger()
    formulas, _ = book_of(report_of(manager))
    for sheet in formulas:
        assert sheet.page_setup.orientation == "landscape"
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
        assert sheet.page_setup.fitToWidth in (None, 1)
        assert sheet.print_title_rows
        assert "Page" in sheet.oddFooter.right.text
        assert sheet.freeze_panes.startswith("A")


def test_the_summary_has_charts_that_live_in_the_workbook(manager):
    nasty_ledger()
    formulas, _ = book_of(report_of(manager))
    # Months and top ten of two currencies.
    assert len(formulas["Summary"]._charts) == 4


@pytest.mark.parametrize("asked", [{}, {"money": "EUR"}, {"prices": "2024"}])
def test_each_breakdown_agrees_with_the_cost_lines(manager, asked):
    nasty_ledger()
    money_tables()
    report = report_of(manager, **asked)
    _, values = book_of(report)
    for grouping in GROUPINGS:
        rows = list(values[f"By {grouping}"].iter_rows(values_only=True))
        names = 2 if grouping == GROUPINGS[0] else 1
        total, of_lines, difference = (row[names + 1 :] for row in rows[-3:])
        assert total == pytest.approx(of_lines, abs=1e-6)
        assert set(difference) == {0}
        expected = [
            float(cents(report.total.amounts_in(unit).repair_cost))
            for unit in report.currencies
        ]
        assert [round(x, 2) for x in total[::6]] == expected


def test_restated_lines_say_what_they_were_and_what_they_count(manager):
    nasty_ledger()
    money_tables()
    _, values = book_of(report_of(manager, money="EUR", prices="2024"))
    of_dollars = next(
        row
        for row in rows_of(values["Cost lines"])
        if (row["Currency"], row["Booked on"].year) == ("USD", 2023)
    )
    factor = Decimal("0.9248") * Decimal("107.9") / Decimal("104.2")
    assert of_dollars["Counted in"] == "EUR of 2024"
    assert of_dollars["Amount counted"] == pytest.approx(
        float(Decimal(str(of_dollars["Amount"])) * factor), rel=1e-12
    )
    notes = [row["Text"] for row in rows_of(values["Notes"])]
    assert CHANGED not in notes
    assert any("USD booked in 2024 stays in USD" in text for text in notes)
    assert any("Restated to prices of 2024" in text for text in notes)


def test_more_lines_than_a_sheet_holds_are_split_and_the_notes_say_so(manager):
    nasty_ledger()
    report = report_of(manager)
    formulas, values = book_of(report, most_rows=11)
    names = [name for name in formulas.sheetnames if name.startswith("Cost lines")]
    assert names == ["Cost lines", *(f"Cost lines {n}" for n in (2, 3, 4))]
    assert [values[name].max_row for name in names] == [11, 11, 11, 7]
    found = [row for name in names for row in rows_of(values[name])]
    assert len(found) == report.lines.count() == 2 * len(STARTS)
    assert all(row["Counted in"] for row in found)
    formula = formulas["By site"].cell(len(STARTS) + 3, 3).value
    assert all(f"{name}'!" in formula for name in names)
    assert any("Cost lines 4" in row["Text"] for row in rows_of(values["Notes"]))


def test_a_line_that_comes_in_while_the_file_is_written_is_told(manager):
    nasty_ledger()
    report = report_of(manager)
    assert report.total.repairs
    CostLineFactory(repair=report.lines.first().repair, amount=Decimal(5))
    _, values = book_of(report)
    assert CHANGED in [row["Text"] for row in rows_of(values["Notes"])]


def test_notes_say_period_place_rule_money_and_warnings(manager):
    nasty_ledger()
    _, values = book_of(report_of(manager))
    labels = {row["Note"] for row in rows_of(values["Notes"])}
    assert {"Made", "Period", "Place", "Work counted", "Currencies"} <= labels
    assert {"Counting rule", "Check", "Formulas", "Uncertainty"} <= labels


def test_the_columns_of_the_flat_sheet_are_those_of_the_csv(manager, manager_client):
    nasty_ledger()
    _, values = book_of(report_of(manager))
    answer = manager_client.get("/costs/lines.csv", QUESTION)
    text = b"".join(answer.streaming_content).decode("utf-8-sig")
    assert text.splitlines()[0] == ",".join(HEADER)
    heads = next(values["Cost lines"].iter_rows(values_only=True))
    assert list(heads) == HEADER
