"""The cost report as a workbook: summary, breakdown, lines, notes."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import IO, Any

import xlsxwriter
from xlsxwriter.utility import xl_range

from analytics.exports.cost_lines import HEADER, cost_line_rows
from analytics.reports.costs.report import Amounts, CostReport
from analytics.reports.costs.table import PARTS, export_header, export_row, parts_of

# Text of a user must never become a formula or a link.
OPTIONS = {
    "constant_memory": True,
    "strings_to_formulas": False,
    "strings_to_numbers": False,
    "strings_to_urls": False,
}
WIDTHS = {"Note": 40, "Failure mode": 30, "Item": 22, "Kind of cost": 22}
Progress = Callable[[int], None]
STEP = 1000


@dataclass(frozen=True, slots=True)
class _Formats:
    head: Any
    title: Any
    wrapped: Any
    money: Any
    money_total: Any
    whole: Any
    whole_total: Any
    day: Any
    strong: Any


def write_cost_workbook(
    target: IO[bytes],
    report: CostReport,
    *,
    made_on: datetime,
    progress: Progress = lambda done: None,
) -> None:
    """Write the workbook; `progress` hears how many cost lines are written."""
    with xlsxwriter.Workbook(target, OPTIONS) as book:
        formats = _formats(book)
        _summary(book.add_worksheet("Summary"), formats, report)
        _breakdown(book.add_worksheet("Breakdown"), formats, report)
        _lines(book.add_worksheet("Cost lines"), formats, report, progress)
        _notes(book.add_worksheet("Notes"), formats, report, made_on)


def _formats(book: Any) -> _Formats:
    amount = {"num_format": "#,##0.00"}
    count = {"num_format": "#,##0"}
    strong = {"bold": True, "top": 1}
    return _Formats(
        head=book.add_format({"bold": True, "bottom": 1, "text_wrap": True}),
        title=book.add_format({"bold": True, "font_size": 14}),
        wrapped=book.add_format({"text_wrap": True, "valign": "top"}),
        money=book.add_format(amount),
        money_total=book.add_format(amount | strong),
        whole=book.add_format(count),
        whole_total=book.add_format(count | strong),
        day=book.add_format({"num_format": "yyyy-mm-dd"}),
        strong=book.add_format(strong),
    )


def _write(sheet: Any, row: int, column: int, value: Any, formats: _Formats) -> None:
    """One cell by the type of its value; an amount is exact to the cent."""
    if isinstance(value, Decimal):
        sheet.write_number(row, column, float(value), formats.money)
    elif value is None:
        return
    elif isinstance(value, int):
        sheet.write_number(row, column, value, formats.whole)
    elif isinstance(value, date):
        sheet.write_datetime(row, column, value, formats.day)
    else:
        sheet.write_string(row, column, str(value))


def _head(sheet: Any, row: int, labels: Iterable[str], formats: _Formats) -> None:
    for column, label in enumerate(labels):
        sheet.write_string(row, column, label, formats.head)


def _summary(sheet: Any, formats: _Formats, report: CostReport) -> None:
    sheet.set_column(0, 0, 26)
    sheet.set_column(1, 5, 18)
    sheet.write_string(0, 0, "What repairs cost", formats.title)
    sheet.write_string(1, 0, report.scope.in_words())
    sheet.write_string(2, 0, report.in_words)
    sheet.write_string(3, 0, "Repairs")
    sheet.write_number(3, 1, report.total.repairs, formats.whole)
    labels = ["Kind of cost", "Currency", "Estimate", "Booked", "Together", "Failures"]
    _head(sheet, 5, labels, formats)
    row = 6
    for currency in report.currencies:
        amounts = parts_of(report.total.amounts_in(currency))
        failures = parts_of(report.failures.get(currency, Amounts()))
        for label, (total, estimate), (failed, _) in zip(
            PARTS.values(), amounts, failures, strict=True
        ):
            line = [label, currency, estimate, total - estimate, total, failed]
            for column, value in enumerate(line):
                _write(sheet, row, column, value, formats)
            row += 1
    sheet.freeze_panes(6, 0)


def _breakdown(sheet: Any, formats: _Formats, report: CostReport) -> None:
    header = export_header(report)
    sheet.set_column(0, len(header) - 1, 18)
    sheet.freeze_panes(1, 1)
    _head(sheet, 0, header, formats)
    last = 0
    for last, row in enumerate(report.rows, start=1):
        for column, value in enumerate(export_row(row, report)):
            _write(sheet, last, column, value, formats)
    sheet.autofilter(0, 0, max(last, 1), len(header) - 1)
    if report.rows:
        _totals(sheet, last + 1, formats, report)


def _totals(sheet: Any, row: int, formats: _Formats, report: CostReport) -> None:
    """Live sums with their values stored, for readers that do not recalculate."""
    for column, value in enumerate(export_row(report.total, report)):
        if isinstance(value, str):
            sheet.write_string(row, column, value, formats.strong)
            continue
        is_money = isinstance(value, Decimal)
        total_format = formats.money_total if is_money else formats.whole_total
        formula = f"=SUM({xl_range(1, column, row - 1, column)})"
        sheet.write_formula(row, column, formula, total_format, float(value))


def _lines(
    sheet: Any, formats: _Formats, report: CostReport, progress: Progress
) -> None:
    for column, label in enumerate(HEADER):
        sheet.set_column(column, column, WIDTHS.get(label, 14))
    sheet.freeze_panes(1, 0)
    _head(sheet, 0, HEADER, formats)
    last = 0
    for last, row in enumerate(cost_line_rows(report.lines), start=1):
        for column, value in enumerate(row):
            _write(sheet, last, column, value, formats)
        if last % STEP == 0:
            progress(last)
    sheet.autofilter(0, 0, max(last, 1), len(HEADER) - 1)
    progress(last)


def _notes(
    sheet: Any, formats: _Formats, report: CostReport, made_on: datetime
) -> None:
    sheet.set_column(0, 0, 22)
    sheet.set_column(1, 1, 90)
    window = report.scope.window
    notes = [
        ("Period", f"{window.start} to {window.end}"),
        ("Work counted", report.work.in_words),
        ("Period by", report.basis.in_words),
        ("Place", report.scope.in_words()),
        ("Grouped by", report.grouping.label),
        ("Made", f"{made_on:%Y-%m-%d %H:%M} for {report.scope.user.get_username()}"),
        (
            "What is added up",
            "Standing cost lines (one that a later line replaced is left out) of "
            "repairs that are not void. Repair cost is labour, parts, contractor and "
            "other; lost production, and environment and safety stand apart and are "
            "never added to it. Shop work is charged to its position and is not "
            "counted as another repair.",
        ),
        (
            "Currencies",
            "Each currency by itself; no exchange rate, nominal amounts, no index.",
        ),
        *[("Counting rule", sentence) for sentence in report.scope.rule_in_words()],
        *[("Check", warning) for warning in report.warnings],
    ]
    _head(sheet, 0, ("Note", "Text"), formats)
    for row, (label, text) in enumerate(notes, start=1):
        sheet.write_string(row, 0, label, formats.wrapped)
        sheet.write_string(row, 1, text, formats.wrapped)
    sheet.freeze_panes(1, 0)
