"""Numbers as people and spreadsheets write them, with decimal point or comma."""

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass

PLAIN = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d{1,3})?")
SPACES = re.compile(r"[\s\u00a0\u202f]+")
# Sure signs: what cannot be read as whole thousands in groups of three digits.
POINT_IS_SURE = re.compile(
    r"[+-]?(?:\d{1,3}(?:,\d{3})+\.\d+|\d{1,3}(?:,\d{3}){2,}"
    r"|\d*\.(?:\d{1,2}|\d{4,})|0\.\d+|\d{4,}\.\d+)"
)
COMMA_IS_SURE = re.compile(
    r"[+-]?(?:\d{1,3}(?:\.\d{3})+,\d+|\d{1,3}(?:\.\d{3}){2,}"
    r"|\d*,(?:\d{1,2}|\d{4,})|0,\d+|\d{4,},\d+)"
)
GROUPED = {
    ".": re.compile(r"[+-]?\d{1,3}(?:,\d{3})+(?:\.\d*)?"),
    ",": re.compile(r"[+-]?\d{1,3}(?:\.\d{3})+(?:,\d*)?"),
}


class NotANumber(ValueError):
    """The message says what would be right."""


@dataclass(frozen=True, slots=True)
class NumberStyle:
    """The decimal sign, and whether it is known or only what is usual."""

    decimal: str = "."
    is_sure: bool = True

    @property
    def example(self) -> str:
        return f"12{self.decimal}5"


def style_of(
    cells: Iterable[object], *, decimal: str, separator: str | None
) -> NumberStyle:
    """The style of one table: as chosen, else from the first telling number."""
    if decimal != "auto":
        return NumberStyle(decimal)
    for cell in cells:
        if not isinstance(cell, str) or not ("," in cell or "." in cell):
            continue
        if POINT_IS_SURE.fullmatch(cell):
            return NumberStyle(".")
        if COMMA_IS_SURE.fullmatch(cell):
            return NumberStyle(",")
    return NumberStyle("," if separator == ";" else ".", is_sure=False)


def digits_of(word: str, style: NumberStyle) -> str:
    """The number in plain digits with a point, ready for float or Decimal."""
    if PLAIN.fullmatch(word) and (style.decimal == "." or "." not in word):
        return word
    word = SPACES.sub("", word)
    group = "," if style.decimal == "." else "."
    if group in word:
        if not GROUPED[style.decimal].fullmatch(word):
            raise NotANumber(f"Not a number: write it as {style.example}.")
        if not style.is_sure and style.decimal not in word:
            raise NotANumber(
                "This can be read in two ways: choose the decimal sign and try again."
            )
        word = word.replace(group, "")
    word = word.replace(style.decimal, ".")
    if not PLAIN.fullmatch(word):
        raise NotANumber(f"Not a number: write it as {style.example}.")
    return word


def float_of(cell: object, style: NumberStyle) -> float:
    """A finite float from a text or a spreadsheet number."""
    if isinstance(cell, bool) or not isinstance(cell, str | int | float):
        raise NotANumber(f"Not a number: write it as {style.example}.")
    value = float(digits_of(cell, style) if isinstance(cell, str) else cell)
    if not math.isfinite(value):
        raise NotANumber("This number is too large to be true.")
    return value
