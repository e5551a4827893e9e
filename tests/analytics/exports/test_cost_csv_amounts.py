"""Amounts in the CSV files of costs are written with as many places as they mean."""

import csv
import io
from collections import defaultdict
from decimal import Decimal

import pytest

from analytics.forms.costs import CostForm
from analytics.reports.costs.amounts import cents
from analytics.reports.costs.notes import CONVERTED_LINES, method_of, notes_of
from tests.analytics.exports.nasty_ledger import QUESTION, money_tables, nasty_ledger

pytestmark = pytest.mark.django_db
TREATED = pytest.mark.parametrize(
    "asked", [{"money": "EUR"}, {"money": "USD"}, {"money": "EUR", "prices": "2024"}]
)


def rows_of(client, address, **asked):
    answer = client.get(address, QUESTION | asked)
    assert answer.status_code == 200
    text = b"".join(answer.streaming_content).decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text, newline="")))


@pytest.mark.parametrize("amount", ["0", "0E-10", "0E+3", "1E+2", "7", "7.005", "-3.1"])
def test_cents_are_two_places_whatever_the_amount(amount):
    told = cents(Decimal(amount))
    assert told.as_tuple().exponent == -2
    assert abs(told - Decimal(amount)) <= Decimal("0.005")


@TREATED
def test_the_table_writes_two_places_of_zero_too(manager_client, asked):
    nasty_ledger()
    money_tables()
    rows = rows_of(manager_client, "/costs/export.csv", **asked)
    told = {text for row in rows for head, text in row.items() if "cost" in head}
    assert "0.00" in told
    assert not [text for text in told if text and len(text.partition(".")[2]) != 2]


@TREATED
def test_the_lines_write_eight_places_and_add_up_to_the_total(
    manager, manager_client, asked
):
    nasty_ledger()
    money_tables()
    rows = rows_of(manager_client, "/costs/lines.csv", **asked)
    sums = defaultdict(Decimal)
    for row in rows:
        counted = row["Amount counted"]
        places = 2 if counted == row["Amount"] else 8
        assert len(counted.partition(".")[2]) == places
        sums[row["Counted in"], row["Added up as"]] += Decimal(counted)
    assert {row["Amount counted"] == row["Amount"] for row in rows} == {True, False}
    form = CostForm(QUESTION | asked, user=manager)
    assert form.is_answerable()
    report = form.report()
    for unit in report.currencies:
        total = report.total.amounts_in(unit).repair_cost
        assert abs(sums[unit, "Repair cost"] - total) < Decimal("0.005")
    assert CONVERTED_LINES in [text for _, text in report.notes()]


def test_lines_as_booked_need_no_word_of_rounding(manager):
    form = CostForm(QUESTION, user=manager)
    assert form.is_answerable()
    question = form.report().question
    assert CONVERTED_LINES not in method_of(question)
    assert CONVERTED_LINES not in [
        text for _, text in notes_of(question, form.grouping(), [])
    ]
