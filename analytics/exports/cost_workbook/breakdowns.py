"""One sheet a grouping: its rows, their live total, and the cost lines beside it."""

from decimal import Decimal
from typing import Any

from xlsxwriter.utility import xl_range, xl_rowcol_to_cell

from analytics.exports.cost_workbook.lines import ESTIMATE, LineSheets
from analytics.exports.cost_workbook.sheet import MOST_ROWS, RowSheet
from analytics.reports.costs.amounts import CostRow
from analytics.reports.costs.breakdown import Breakdown
from analytics.reports.costs.groupings import NAME_COLUMNS
from analytics.reports.costs.table import PARTS, export_header, parts_in

NAME_WIDTH, WIDTH = 34, 18
# Below the rows stand their total, what the lines come to, and the difference.
FOOT = 4
OF_LINES = "Cost lines by formula"
DIFFERENCE = "Difference"


def breakdown_write(sheet: RowSheet, table: Breakdown, lines: LineSheets) -> None:
    names = len(NAME_COLUMNS[table.grouping])
    header = export_header(table)
    sheet.set_column(0, names - 1, NAME_WIDTH)
    sheet.set_column(names, len(header) - 1, WIDTH)
    sheet.head_write(0, header, numbers=names)
    sheet.print_set_up(0, table.table_caption)
    rows = table.rows
    if len(rows) > MOST_ROWS - FOOT:
        raise ValueError(f"{len(rows)} rows by {table.grouping.label} fit no sheet.")
    for place, row in enumerate(rows, start=1):
        sheet.row_write(place, _plain(row, table))
    sheet.autofilter(0, 0, max(len(rows), 1), len(header) - 1)
    if rows:
        _foot(sheet, len(rows) + 1, table, lines)


def _plain(row: CostRow, table: Breakdown) -> list[Any]:
    """As `export_row`, but restated amounts in full, so that their sum is exact."""
    blank = [""] * (len(NAME_COLUMNS[table.grouping]) - len(row.names))
    amounts = [
        amount
        for unit in table.currencies
        for pair in parts_in(row, unit)
        for amount in pair
    ]
    return [*row.names, *blank, row.repairs, *amounts]


def _foot(sheet: RowSheet, row: int, table: Breakdown, lines: LineSheets) -> None:
    """Live sums with their values stored, for readers that do not recalculate."""
    formats = sheet.formats
    first = len(NAME_COLUMNS[table.grouping])
    total = _plain(table.total, table)
    sums = _of_lines(table, lines)
    sheet.text_write(row, 0, "All", formats.strong)
    for column, value in enumerate(total[first:], start=first):
        is_money = isinstance(value, Decimal)
        dress = formats.money_total if is_money else formats.whole_total
        formula = f"=SUM({xl_range(1, column, row - 1, column)})"
        sheet.write_formula(row, column, formula, dress, float(value or 0))
    sheet.text_write(row + 1, 0, OF_LINES)
    for column, (formula, value) in enumerate(sums, start=first + 1):
        sheet.write_formula(row + 1, column, f"={formula}", formats.money, float(value))
    sheet.text_write(row + 2, 0, DIFFERENCE)
    for column, (_, value) in enumerate(sums, start=first + 1):
        upper, lower = (xl_rowcol_to_cell(row + n, column) for n in (0, 1))
        difference = round((total[column] or Decimal(0)) - value, 2)
        sheet.write_formula(
            row + 2,
            column,
            f"=ROUND({upper}-{lower},2)",
            formats.money,
            float(difference),
        )


def _of_lines(table: Breakdown, lines: LineSheets) -> list[tuple[str, Decimal]]:
    """Formula into the cost lines and its value, for each column of money."""
    return [
        (lines.formula(unit, part, status), lines.value(unit, part, status))
        for unit in table.currencies
        for part in PARTS.values()
        for status in ("", ESTIMATE)
    ]
