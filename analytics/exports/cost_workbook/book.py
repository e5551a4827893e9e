"""Puts the sheets of a cost workbook together."""

from datetime import datetime
from typing import IO, Any

import xlsxwriter

from analytics.exports.cost_workbook.breakdowns import breakdown_write
from analytics.exports.cost_workbook.comparison import (
    columns_set,
    comparison_sheet,
    comparison_write,
)
from analytics.exports.cost_workbook.lines import (
    ESTIMATE,
    LineSheets,
    Progress,
)
from analytics.exports.cost_workbook.months import months_chart, months_sheet
from analytics.exports.cost_workbook.notes import notes_write
from analytics.exports.cost_workbook.sheet import (
    MOST_ROWS,
    RowSheet,
    formats_of,
    sheet_add,
)
from analytics.exports.cost_workbook.top import top_sheet
from analytics.reports.costs.amounts import NO_AMOUNTS
from analytics.reports.costs.groupings import CostGrouping
from analytics.reports.costs.report import CostReport
from analytics.reports.costs.table import PARTS, parts_of
from records.choices import CostStatus

# Text of a user must never become a formula or a link.
OPTIONS = {
    "constant_memory": True,
    "strings_to_formulas": False,
    "strings_to_numbers": False,
    "strings_to_urls": False,
}
BOOKED = str(CostStatus.BOOKED.label)
TOTALS = (
    *("Kind of cost", "Counted in", "Estimate", "Booked", "Together"),
    "Of it failures",
)
HEADLINES = {
    *("repairs", "pump_years", "repair", "production", "environment"),
    *("repair_per_year", "rework", "late"),
}
CHARTED_UNITS = 2
CHART_ROWS = 17
# Of the totals; the words above it take four rows and an empty one.
HEAD_ROW = 5


def write_cost_workbook(
    target: IO[bytes],
    report: CostReport,
    *,
    made_on: datetime,
    progress: Progress = lambda done: None,
    most_rows: int = MOST_ROWS,
) -> None:
    """Write the workbook; `progress` hears how many cost lines are written.

    The lines go first, into a sheet further back: formulas store what they add up.
    """
    with xlsxwriter.Workbook(target, OPTIONS) as book:
        formats = formats_of(book)
        tables = report.breakdowns(list(CostGrouping))
        summary = sheet_add(book, "Summary", formats)
        comparison_sheet(book, formats, report.comparison)
        months_sheet(book, formats, report.rolling)
        charts = top_sheet(book, formats, report.top_ten)
        sheets = [sheet_add(book, table.table_caption, formats) for table in tables]
        lines = LineSheets(book, formats, report.lines.count(), most_rows)
        notes = sheet_add(book, "Notes", formats)
        lines.write(report, progress)
        for sheet, table in zip(sheets, tables, strict=True):
            breakdown_write(sheet, table, lines)
        _summary(book, summary, report, lines, charts)
        notes_write(notes, report, lines, made_on)


def _summary(
    book: Any, sheet: RowSheet, report: CostReport, lines: LineSheets, charts: list[Any]
) -> None:
    columns_set(sheet)
    for row, text in enumerate(report_words(report)):
        sheet.text_write(row, 0, text, None if row else sheet.formats.title)
    row = _totals(sheet, row + 2, report, lines)
    comparison = report.comparison
    headlines = [line for line in comparison.lines if line.key in HEADLINES]
    row = comparison_write(sheet, row + 1, comparison, headlines)
    months = [
        months_chart(book, one, place)
        for place, one in enumerate(report.rolling[:CHARTED_UNITS])
    ]
    for chart in [*months, *charts[:CHARTED_UNITS]]:
        sheet.insert_chart(row + 1, 0, chart)
        row += CHART_ROWS
    sheet.print_set_up(HEAD_ROW, "What repairs cost")
    sheet.fit_to_pages(1, 1)


def report_words(report: CostReport) -> list[str]:
    question = report.question
    where = report.scope.in_words()
    return ["What repairs cost", where, question.in_words, question.money_in_words]


def _totals(sheet: RowSheet, row: int, report: CostReport, lines: LineSheets) -> int:
    """Sums of the cost lines by formula; the row below them comes back."""
    sheet.head_write(row, TOTALS, numbers=2)
    money = sheet.formats.money
    for unit in report.currencies:
        failures = parts_of(report.failures.get(unit, NO_AMOUNTS))
        for part, (failed, _) in zip(PARTS.values(), failures, strict=True):
            row += 1
            sheet.text_write(row, 0, part)
            sheet.text_write(row, 1, unit)
            for column, status in ((2, ESTIMATE), (3, BOOKED)):
                value = float(lines.value(unit, part, status))
                formula = f"={lines.formula(unit, part, status)}"
                sheet.write_formula(row, column, formula, money, value)
            together = float(lines.value(unit, part))
            sheet.write_formula(row, 4, f"=C{row + 1}+D{row + 1}", money, together)
            sheet.write_number(row, 5, float(failed), money)
    return row + 1
