"""Cells of plain rows as the file has them, put down whole and not one by one."""

import re
from collections.abc import Callable
from datetime import date
from decimal import Decimal
from functools import lru_cache
from html import escape
from typing import Any, NamedTuple

from xlsxwriter.utility import xl_col_to_name
from xlsxwriter.worksheet import Worksheet

from plant.csv_export import FORMULA_STARTS

# Stands where the number of the row belongs. No text holds it: signs that XML does not
# know are written as numbers.
ROW = "\0"
DAY_ZERO = date(1899, 12, 30).toordinal()
LONGEST_TEXT = 32_767
KEPT_TEXTS, SHORT = 10_000, 24
# What the library changes in a text, or XML does not take as it is.
ODD_SIGN = re.compile("[&<>\x00-\x1f\ufffe\uffff]|_x[0-9a-fA-F]{4}_")
MARK = "<r>"


class Looks(NamedTuple):
    """Numbers by which a cell of a plain row names its format."""

    money: int
    whole: int
    day: int
    text_as_is: int


Text = Callable[[str, Looks], str]


def text_inline(text: str, looks: Looks) -> str:
    """A text of its own; short ones come again and are kept."""
    return _kept_text(text, looks) if len(text) < SHORT else _inline(text, looks)


def text_shared(index: int, text: str, looks: Looks) -> str:
    """A text that stands in the table of the book, by its number there."""
    return f'{_as_is(text, looks)} t="s"><v>{index}</v></c>'


def can_be_shared(text: str) -> bool:
    """Marks typed by a person are shown; in its table the library would obey them."""
    return len(text) <= LONGEST_TEXT and not text.startswith(MARK)


def cells_of(
    column: int, values: tuple[Any, ...], looks: Looks, text: Text = text_inline
) -> str:
    """Cells from a column on; None and empty text leave theirs out.

    An amount is exact to the cent, a date a date, text always text.
    """
    found = []
    # Rows are many: each step of this loop is taken some million times.
    for letters, value in zip(_letters(column, len(values)), values, strict=True):
        if value is None or value == "":
            continue
        if isinstance(value, str):
            content = text(value, looks)
        elif isinstance(value, Decimal):
            content = f' s="{looks.money}"><v>{float(value)!r}</v></c>'
        elif isinstance(value, date):
            day = value.toordinal() - DAY_ZERO
            content = f' s="{looks.day}"><v>{day}</v></c>'
        else:
            content = f' s="{looks.whole}"><v>{value}</v></c>'
        found.append(f'<c r="{letters}{ROW}"{content}')
    return "".join(found)


@lru_cache
def _letters(first: int, columns: int) -> list[str]:
    return [xl_col_to_name(column) for column in range(first, first + columns)]


def _inline(text: str, looks: Looks) -> str:
    """Signs that XML does not know are written as numbers."""
    known = text[:LONGEST_TEXT]
    if ODD_SIGN.search(known):
        known = Worksheet._escape_control_characters(known)
    space = ' xml:space="preserve"' if known != known.strip() else ""
    words = escape(known, quote=False)
    return f'{_as_is(text, looks)} t="inlineStr"><is><t{space}>{words}</t></is></c>'


def _as_is(text: str, looks: Looks) -> str:
    return f' s="{looks.text_as_is}"' if text.startswith(FORMULA_STARTS) else ""


_kept_text = lru_cache(KEPT_TEXTS)(_inline)
