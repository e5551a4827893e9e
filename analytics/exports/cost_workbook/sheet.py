"""A worksheet that takes whole rows fast, and the formats and print set-up of all.

In constant memory the library spends 8 microseconds a cell on general cases; a row of
a plain table is put down at once here, by the same file and in the same order.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import cached_property, lru_cache
from html import escape
from typing import Any

from xlsxwriter.format import Format
from xlsxwriter.utility import xl_col_to_name
from xlsxwriter.worksheet import Worksheet

from plant.csv_export import FORMULA_STARTS

A4 = 9
DAY_ZERO = date(1899, 12, 30).toordinal()
LONGEST_TEXT = 32_767
MOST_ROWS = 1_048_576
KEPT_TEXTS = 20_000
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
    def styles(self) -> dict[str, int]:
        """Numbers by which a cell of a plain row names its format."""
        plain = ("money", "whole", "day", "text_as_is")
        return {name: getattr(self, name)._get_xf_index() for name in plain}


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

        An amount is exact to the cent, a date a date, text always text.

        Raises
        ------
        ValueError
            Above a row that is written already, or below the last of a sheet.
        """
        if self._check_dimensions(row, len(values) - 1):
            raise ValueError(f"Row {row} cannot be written now.")
        if row > self.previous_row:
            self._write_single_row(row)
        number = str(row + 1)
        cells = [
            f'<c r="{letters}{number}"{self._content(value)}'
            for letters, value in zip(_letters(len(values)), values, strict=True)
            if value is not None and value != ""
        ]
        self.fh.write(f'<row r="{number}">{"".join(cells)}</row>')

    def _content(self, value: Any) -> str:
        """The rest of a cell after its place."""
        styles = self.formats.styles
        if isinstance(value, str):
            return _text(value, styles["text_as_is"])
        if isinstance(value, Decimal):
            return f' s="{styles["money"]}"><v>{float(value)!r}</v></c>'
        if isinstance(value, date):
            return _day(value, styles["day"])
        return f' s="{styles["whole"]}"><v>{value}</v></c>'

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


@lru_cache
def _letters(columns: int) -> list[str]:
    return [xl_col_to_name(column) for column in range(columns)]


@lru_cache(KEPT_TEXTS)
def _day(value: date, style: int) -> str:
    return f' s="{style}"><v>{value.toordinal() - DAY_ZERO}</v></c>'


@lru_cache(KEPT_TEXTS)
def _text(text: str, as_is: int) -> str:
    """Inline text of a cell; signs that XML does not know are written as numbers."""
    known = RowSheet._escape_control_characters(text[:LONGEST_TEXT])
    style = f' s="{as_is}"' if text.startswith(FORMULA_STARTS) else ""
    space = ' xml:space="preserve"' if known != known.strip() else ""
    words = escape(known, quote=False)
    return f'{style} t="inlineStr"><is><t{space}>{words}</t></is></c>'
