"""The sheet that tells how every figure of the workbook came about."""

from datetime import datetime
from decimal import Decimal

from analytics.exports.cost_workbook.lines import LineSheets
from analytics.exports.cost_workbook.sheet import RowSheet
from analytics.reports.costs.amounts import NO_AMOUNTS
from analytics.reports.costs.notes import Note
from analytics.reports.costs.report import CostReport
from analytics.reports.costs.table import PARTS, parts_of

# Restated amounts are rounded in their 28th digit, sums of them likewise.
HALF_A_CENT = Decimal("0.005")
CHANGED = (
    "Costs were entered or changed while this file was written: its tables and its "
    "cost lines are of different moments. Make it again."
)
LIVE = (
    "Totals are formulas with their value stored. Those of the summary and the rows "
    "“Cost lines by formula” add up the sheet of cost lines; “Difference” must be 0."
)
SPLIT = (
    "The cost lines are more than one sheet holds. They stand in {}; every formula "
    "adds up all of them."
)


def notes_write(
    sheet: RowSheet, report: CostReport, lines: LineSheets, made_on: datetime
) -> None:
    sheet.set_column(0, 0, 24)
    sheet.set_column(1, 1, 100)
    sheet.head_write(0, ("Note", "Text"))
    for row, (label, text) in enumerate(_notes(report, lines, made_on), start=1):
        sheet.text_write(row, 0, label, sheet.formats.wrapped)
        sheet.text_write(row, 1, text, sheet.formats.wrapped)
    sheet.print_set_up(0, "Notes")


def _notes(report: CostReport, lines: LineSheets, made_on: datetime) -> list[Note]:
    made = f"{made_on:%Y-%m-%d %H:%M} for {report.scope.user.get_username()}"
    found = [("Made", made), *report.notes(), ("Formulas", LIVE)]
    if len(lines.names) > 1:
        found.append(("Cost lines", SPLIT.format(" and ".join(lines.names))))
    if not _agree(report, lines):
        found.append(("Check", CHANGED))
    return found


def _agree(report: CostReport, lines: LineSheets) -> bool:
    return all(
        abs(lines.value(unit, part) - amount) < HALF_A_CENT
        for unit in {*report.total.amounts, *(unit for unit, _, _ in lines.sums)}
        for part, (amount, _) in zip(
            PARTS.values(),
            parts_of(report.total.amounts.get(unit, NO_AMOUNTS)),
            strict=True,
        )
    )
