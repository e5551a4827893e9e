"""The flat sheet of cost lines, and formulas that add it up."""

from collections import defaultdict
from collections.abc import Callable
from decimal import Decimal
from typing import Any

from xlsxwriter.utility import quote_sheetname, xl_col_to_name

from analytics.exports.cost_lines import HEADER, cost_lines_told
from analytics.exports.cost_workbook.sheet import MOST_ROWS, Formats, sheet_add
from analytics.reports.costs.report import CostReport
from records.choices import CostStatus

NAME = "Cost lines"
WIDTHS = {"Note": 40, "Failure mode": 30, "Item": 22, "Kind of cost": 22, "Cause": 26}
USUAL_WIDTH = 14
STEP = 1000
AMOUNT = HEADER.index("Amount counted")
UNIT = HEADER.index("Counted in")
PART = HEADER.index("Added up as")
STATUS = HEADER.index("Status")
# Where the pieces of a line begin.
DAYS, REPAIR, FACTS = 0, HEADER.index("Repair"), HEADER.index("Site")
KIND, OWN = HEADER.index("Kind of cost"), HEADER.index("Amount")
ESTIMATE = str(CostStatus.ESTIMATE.label)
Progress = Callable[[int], None]
Sums = dict[tuple[str, str, str], Decimal]


class LineSheets:
    """One sheet, or several where the lines are more than a sheet holds."""

    def __init__(self, book: Any, formats: Formats, lines: int, most: int) -> None:
        self.most = most
        self.sums: Sums = defaultdict(Decimal)
        self.written = 0
        self._book, self._formats = book, formats
        self._sheets = [self._added(n) for n in range(max(1, -(-lines // (most - 1))))]

    def _added(self, place: int) -> Any:
        name = f"{NAME} {place + 1}" if place else NAME
        sheet = sheet_add(self._book, name, self._formats)
        for column, label in enumerate(HEADER):
            sheet.set_column(column, column, WIDTHS.get(label, USUAL_WIDTH))
        sheet.head_write(0, HEADER)
        sheet.print_set_up(0, name)
        return sheet

    @property
    def names(self) -> list[str]:
        return [sheet.get_name() for sheet in self._sheets]

    def write(self, report: CostReport, progress: Progress) -> None:
        """All lines; `sums` are those of what stands in the sheets."""
        row = 0
        sheets = iter(self._sheets)
        sheet = next(sheets)
        for days, repair, facts, kind, own in cost_lines_told(
            report.lines, report.treatment
        ):
            if row == self.most - 1:
                sheet.autofilter(0, 0, row, len(HEADER) - 1)
                sheet, row = next(sheets, None) or self._one_more(), 0
            row += 1
            cells = (
                f"{sheet.kept_cells(DAYS, days)}{sheet.cells(REPAIR, repair)}"
                f"{sheet.kept_cells(FACTS, facts)}{sheet.kept_cells(KIND, kind)}"
                f"{sheet.cells(OWN, own)}"
            )
            sheet.cells_write(row, cells, len(HEADER))
            _, part, status = kind
            _, _, counted, unit, _ = own
            self.sums[unit, part, status] += counted
            self.written += 1
            if self.written % STEP == 0:
                progress(self.written)
        sheet.autofilter(0, 0, max(row, 1), len(HEADER) - 1)
        progress(self.written)

    def _one_more(self) -> Any:
        """Lines that came in after they were counted."""
        self._sheets.append(self._added(len(self._sheets)))
        return self._sheets[-1]

    def value(self, unit: str, part: str, status: str = "") -> Decimal:
        """What `formula` comes to; without `status` both of them."""
        return sum(
            (
                amount
                for (of_unit, of_part, of_status), amount in self.sums.items()
                if (of_unit, of_part) == (unit, part) and status in ("", of_status)
            ),
            Decimal(0),
        )

    def formula(self, unit: str, part: str, status: str = "") -> str:
        """Without the equals sign. Names of units and parts are ours, never typed."""
        asked = [(UNIT, unit), (PART, part), *([(STATUS, status)] if status else [])]
        return "+".join(
            f"SUMIFS({_column(name, AMOUNT)},"
            + ",".join(f'{_column(name, at)},"{text}"' for at, text in asked)
            + ")"
            for name in self.names
        )


def _column(sheet: str, column: int) -> str:
    letters = xl_col_to_name(column)
    return f"{quote_sheetname(sheet)}!${letters}$1:${letters}${MOST_ROWS}"
