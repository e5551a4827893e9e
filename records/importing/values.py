"""One reader a column: from a cell to the stored value, or a sentence why not."""

import re
import unicodedata
from collections.abc import Callable
from datetime import date, datetime
from decimal import ROUND_HALF_UP, Decimal, InvalidOperation
from typing import Any

from records.importing.columns import Column, Kind
from records.importing.moments import moment_of
from records.importing.numbers import NotANumber, NumberStyle, digits_of, float_of

Cell = str | int | float | bool | datetime | date
Reader = Callable[[Any], Any]

CENT = Decimal("0.01")
MOST_DIGITS = 10
LARGEST_COUNT = 2**31 - 1
BYTE_ORDER_MARK = "\ufeff"
CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f]")
LIST_SIGNS = re.compile(r"[;,/|]")
YES_NO = {
    **dict.fromkeys(("yes", "y", "true", "1"), True),
    **dict.fromkeys(("no", "n", "false", "0"), False),
}


class Wrong(ValueError):
    """A cell that cannot be right; the message says what would be."""


def reader_for(column: Column, style: NumberStyle, date_order: str) -> Reader:
    """The function that reads one cell of this column."""
    match column.kind:
        case Kind.TEXT:
            return lambda cell: _text(cell, column.longest)
        case Kind.NUMBER:
            return lambda cell: _number(cell, column, style)
        case Kind.COUNT:
            return lambda cell: _count(cell, column, style)
        case Kind.SHARE:
            return lambda cell: _share(cell, style)
        case Kind.MONEY:
            return lambda cell: _money(cell, style)
        case Kind.DAY:
            return lambda cell: _day(cell, date_order)
        case Kind.MOMENT:
            return lambda cell: moment_of(cell, date_order)
        case Kind.WORD:
            return _remembering(lambda cell: _word(cell, column))
        case Kind.WORDS:
            return _remembering(lambda cell: _words(cell, column))
        case Kind.YES_NO:
            return _yes_no
        case Kind.CURRENCY:
            return _currency


def _remembering(read: Reader) -> Reader:
    """The same reader with a memory: vocabulary columns hold few different words."""
    known: dict[Any, Any] = {}
    wrong: dict[Any, str] = {}

    def remember(cell: Any) -> Any:
        # True and 1 are one key of a dictionary, but the text of a cell differs.
        key = (type(cell), cell)
        if key in known:
            return known[key]
        if key in wrong:
            raise Wrong(wrong[key])
        try:
            known[key] = read(cell)
        except Wrong as refusal:
            wrong[key] = str(refusal)
            raise
        return known[key]

    return remember


def text_of(cell: Cell) -> str:
    """A cell as a reader of the sheet sees it: 12.0 is 12, a day is 2018-01-31."""
    if isinstance(cell, str):
        return cell
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, float):
        return f"{cell:.15g}"
    if isinstance(cell, datetime):
        return cell.isoformat(" ", "minutes")
    return str(cell)


def name_of(word: str) -> str:
    """A short text without what nobody sees, so that equal to the eye is equal."""
    seen = "".join(
        " " if unicodedata.category(sign) == "Zs" else sign
        for sign in unicodedata.normalize("NFC", word)
        if unicodedata.category(sign) != "Cf"
    )
    if not seen.isprintable():
        raise Wrong("A control character stands in this text: type it anew.")
    return seen.strip()


def lines_of(word: str) -> str:
    """A long text: its line breaks may stay."""
    if CONTROL.search(word):
        raise Wrong("A control character stands in this text: type it anew.")
    return word.replace(BYTE_ORDER_MARK, "")


def _text(cell: Cell, longest: int) -> str:
    word = text_of(cell)
    if not word.isascii() or not word.isprintable():
        word = name_of(word) if longest else lines_of(word)
    if longest and len(word) > longest:
        raise Wrong(f"At most {longest} characters; this has {len(word)}.")
    return word


def _number(cell: Cell, column: Column, style: NumberStyle) -> float:
    value = float_of(cell, style)
    if column.lowest is not None and value < column.lowest:
        raise Wrong(f"Must be {column.lowest:g} or more.")
    if column.highest is not None and value > column.highest:
        raise Wrong(f"More than {column.highest:,} cannot be: check the number.")
    return value


def _count(cell: Cell, column: Column, style: NumberStyle) -> int:
    value = _number(cell, column, style)
    if not value.is_integer() or value > LARGEST_COUNT:
        raise Wrong("Write a whole number.")
    return int(value)


def _share(cell: Cell, style: NumberStyle) -> float:
    value = float_of(cell, style)
    if not 0 <= value <= 1:
        raise Wrong(f"Write a share between 0 and 1, such as 0{style.decimal}85.")
    return value


def _money(cell: Cell, style: NumberStyle) -> Decimal:
    if isinstance(cell, bool) or not isinstance(cell, str | int | float):
        raise Wrong(f"Not an amount: write it as {style.example}.")
    try:
        digits = digits_of(cell, style) if isinstance(cell, str) else f"{cell:.15g}"
        amount = Decimal(digits).quantize(CENT, ROUND_HALF_UP)
    except (NotANumber, InvalidOperation) as refusal:
        if isinstance(refusal, NotANumber):
            raise
        raise Wrong("This amount is too large to be true.") from None
    if amount < 0:
        raise Wrong("Must be 0 or more.")
    if amount >= 10**MOST_DIGITS:
        raise Wrong("This amount is too large to be true.")
    return amount


def _day(cell: Cell, order: str) -> date:
    moment = moment_of(cell, order)
    return moment.date() if isinstance(moment, datetime) else moment


def _word(cell: Cell, column: Column) -> Any:
    if column.words is None:
        raise TypeError(f"{column.name} has no vocabulary.")
    word = text_of(cell)
    value = column.words.find(word)
    if value is None:
        raise Wrong(column.words.right(word))
    return value


def _words(cell: Cell, column: Column) -> tuple[str, ...]:
    parts = [part.strip() for part in LIST_SIGNS.split(text_of(cell))]
    return tuple(dict.fromkeys(_word(part, column) for part in parts if part))


def _yes_no(cell: Cell) -> bool:
    answer = YES_NO.get(text_of(cell).lower())
    if answer is None:
        raise Wrong("Write yes or no.")
    return answer


def _currency(cell: Cell) -> str:
    code = text_of(cell).upper()
    if len(code) != 3 or not (code.isascii() and code.isalpha()):
        raise Wrong("A currency is three letters, such as EUR.")
    return code
