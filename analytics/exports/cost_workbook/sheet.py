"""A worksheet that takes whole rows fast, and the formats and print set-up of all.

In constant memory the library spends 8 microseconds a cell on general cases; a row of
a plain table is put down at once here, by the same file and in the same order.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from xlsxwriter.format import Format
from xlsxwriter.worksheet import Worksheet

from analytics.exports.cost_workbook.cells import (
    LONGEST_TEXT,
    ROW,
    Looks,
    can_be_shared,
    cells_of,
    text_inline,
    text_shared,
)
from plant.csv_export import FORMULA_STARTS

A4 = 9
MOST_ROWS = 1_048_576
MOST_KEPT = 5_000
# Of a head in a column of usual width.
HEAD_LETTERS, LINE_HEIGHT = 15, 15


@dataclass(frozen=True)
class Formats:
    """`text_as_is` begins as a formula would, and stays text when it is edited."""

    head: Format
    head_number: Format
    title: Format
    wrapped: Format
    money: Format
    money_total: Format
    whole: Format
    whole_total: Format
    share: Format
    years: Format
    day: Format
    month: Format
    strong: Format
    text_as_is: Format

    @cached_property
    def looks(self) -> Looks:
        plain = (self.money, self.whole, self.day, self.text_as_is)
        return Looks(*(look._get_xf_index() for look in plain))


def formats_of(book: Any) -> Formats:
    strong = {"bold": True, "top": 1}
    amount, count = {"num_format": "#,##0.00"}, {"num_format": "#,##0"}
    head = {"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"}
    made = {
        "head": head,
        "head_number": head | {"align": "right"},
        "title": {"bold": True, "font_size": 14},
        "wrapped": {"text_wrap": True, "valign": "top"},
        "money": amount,
        "money_total": amount | strong,
        "whole": count,
        "whole_total": count | strong,
        "share": {"num_format": "0.0%"},
        "years": {"num_format": "#,##0.0"},
        "day": {"num_format": "yyyy-mm-dd"},
        "month": {"num_format": "yyyy-mm"},
        "strong": strong,
        "text_as_is": {"quote_prefix": True},
    }
    return Formats(**{name: book.add_format(looks) for name, looks in made.items()})


class RowSheet(Worksheet):  # type: ignore[misc]
    """Rows of plain values, and no text that is taken for anything but text."""

    formats: Formats

    def row_write(self, row: int, values: Sequence[Any]) -> None:
        """One row from the first column on; None leaves its cell empty.

        Raises
        ------
        ValueError
            Above a row that is written already, or below the last of a sheet.
        """
        self.cells_write(row, self.cells(0, tuple(values)), len(values))

    def cells(self, column: int, values: tuple[Any, ...]) -> str:
        """Cells from a column on, for `cells_write`."""
        return cells_of(column, values, self._looks)

    def kept_cells(self, column: int, values: tuple[Any, ...]) -> str:
        """The same of words that come again and again: each stands once in the book."""
        kept = self._kept.get((column, values))
        if kept is None:
            if len(self._kept) == MOST_KEPT:
                self._kept.clear()
            before = self.str_table.count
            cells = cells_of(column, values, self._looks, self._shared)
            kept = self._kept[column, values] = cells, self.str_table.count - before
        else:
            self.str_table.count += kept[1]
        return kept[0]

    def _shared(self, text: str, looks: Looks) -> str:
        if not can_be_shared(text):
            return text_inline(text, looks)
        index = self.str_table._get_shared_string_index(text)
        return text_shared(index, text, looks)

    def cells_write(self, row: int, cells: str, columns: int) -> None:
        """A row of cells out of `cells` and `kept_cells`, as many columns wide.

        Raises
        ------
        ValueError
            As `row_write` does.
        """
        if self._check_dimensions(row, columns - 1):
            raise ValueError(f"Row {row} cannot be written now.")
        if row > self.previous_row:
            self._write_single_row(row)
        number = str(row + 1)
        self.fh.write(f'<row r="{number}">{cells.replace(ROW, number)}</row>')

    @cached_property
    def _looks(self) -> Looks:
        return self.formats.looks

    @cached_property
    def _kept(self) -> dict[tuple[int, tuple[Any, ...]], tuple[str, int]]:
        """By column and words: their cells, and how many stand in the book's table."""
        return {}

    def head_write(self, row: int, labels: Sequence[str], numbers: int = 99) -> None:
        """The head of a table; from the column `numbers` on it stands over figures."""
        # Constant memory fits no row to its text, so that room is made for it here.
        lines = max((-(-len(label) // HEAD_LETTERS) for label in labels), default=1)
        self.set_row(row, LINE_HEIGHT * lines)
        formats = self.formats
        for column, label in enumerate(labels):
            dress = formats.head_number if column >= numbers else formats.head
            self.write_string(row, column, label, dress)

    def text_write(self, row: int, column: int, text: str, dress: Any = None) -> None:
        """Text in a cell of its own row; more may follow in the same row."""
        if dress is None and text.startswith(FORMULA_STARTS):
            dress = self.formats.text_as_is
        self.write_string(row, column, text[:LONGEST_TEXT], dress)

    def _xml_rich_inline_string(self, string: str, attributes: Any = ()) -> None:
        """Marks typed by a person are shown; the library would obey `<r>` to `</r>`."""
        self._xml_inline_string(string, True, attributes)

    def print_set_up(self, head_row: int, title: str) -> None:
        """Landscape on the width of one sheet, its head on every page, numbered."""
        self.set_landscape()
        self.set_paper(A4)
        self.fit_to_pages(1, 0)
        self.repeat_rows(head_row)
        self.set_footer(f"&L{title.replace('&', '&&')}&RPage &P of &N")
        self.freeze_panes(head_row + 1, 0)


def sheet_add(book: Any, name: str, formats: Formats) -> RowSheet:
    sheet: RowSheet = book.add_worksheet(name, worksheet_class=RowSheet)
    sheet.formats = formats
    return sheet
