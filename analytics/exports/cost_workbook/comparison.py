"""The periods side by side, with their changes as live formulas."""

from collections.abc import Iterable
from typing import Any

from xlsxwriter.utility import xl_rowcol_to_cell

from analytics.exports.cost_workbook.sheet import Formats, RowSheet, sheet_add
from analytics.reports.costs.comparison import Comparison
from analytics.reports.costs.comparison_lines import ComparisonLine
from analytics.reports.costs.comparison_table import export_header

NAME = "Comparison"
THIS = 2
EARLIER = {1: 3, 2: 6}
WIDTHS = (44, 14, *[17] * 7)


def comparison_sheet(book: Any, formats: Formats, comparison: Comparison) -> None:
    sheet = sheet_add(book, NAME, formats)
    columns_set(sheet)
    comparison_write(sheet, 0, comparison, comparison.lines)
    sheet.print_set_up(0, NAME)


def columns_set(sheet: RowSheet) -> None:
    for column, width in enumerate(WIDTHS):
        sheet.set_column(column, column, width)


def comparison_write(
    sheet: RowSheet, row: int, comparison: Comparison, lines: Iterable[ComparisonLine]
) -> int:
    """Head and lines from `row` on; the first row below them comes back."""
    sheet.head_write(row, export_header(comparison), numbers=THIS)
    for line in lines:
        row += 1
        sheet.text_write(row, 0, "  " * line.level + line.label)
        sheet.text_write(row, 1, line.unit)
        _figure(sheet, row, THIS, line, 0)
        for place, column in EARLIER.items():
            _figure(sheet, row, column, line, place)
            _change(sheet, row, column, line, place)
    return row + 1


def _figure(
    sheet: RowSheet, row: int, column: int, line: ComparisonLine, place: int
) -> None:
    value = line.values[place]
    if value is not None:
        sheet.write_number(row, column, float(value), _looks(sheet, line))


def _change(
    sheet: RowSheet, row: int, column: int, line: ComparisonLine, place: int
) -> None:
    change = line.change(place)
    if change is None:
        return
    this, earlier, difference = (
        xl_rowcol_to_cell(row, at) for at in (THIS, column, column + 1)
    )
    sheet.write_formula(
        row, column + 1, f"={this}-{earlier}", _looks(sheet, line), float(change)
    )
    share = line.change_share(place)
    if share is not None:
        sheet.write_formula(
            row, column + 2, f"={difference}/{earlier}", sheet.formats.share, share
        )


def _looks(sheet: RowSheet, line: ComparisonLine) -> Any:
    formats = sheet.formats
    return {
        "money": formats.money,
        "count": formats.whole,
        "years": formats.years,
        "share": formats.share,
    }[line.kind]
