"""Reads one CSV file: encoding, separator, quotation marks."""

import csv
import io
from collections.abc import Iterator

from records.importing.layout import SHEETS
from records.importing.options import ReadOptions
from records.importing.raw import (
    RawTable,
    Unreadable,
    sheet_named,
    sheet_with_heading,
    table_from,
)

WORKBOOK_START = b"PK\x03\x04"
OLD_WORKBOOK_START = b"\xd0\xcf\x11\xe0"


def csv_table(name: str, content: bytes, options: ReadOptions) -> RawTable:
    """The table in a CSV file.

    Raises
    ------
    Unreadable
        When the bytes are no such text, or no sheet can be told from it.
    """
    if content.startswith((WORKBOOK_START, OLD_WORKBOOK_START)):
        raise Unreadable(
            "This is a spreadsheet, not text: give it the ending .xlsx, or save it "
            "as CSV."
        )
    text = decoded(content, options.encoding)
    separator = separator_of(text, options.separator)
    sheet = sheet_named(name.rsplit(".", 1)[0])
    if sheet is None:
        heading = next(csv.reader(io.StringIO(text), delimiter=separator), [])
        sheet = sheet_with_heading(heading)
    if sheet is None:
        raise Unreadable(
            f"It is not clear which table this is: name the file {_file_names()}."
        )
    return table_from(name, sheet, _lines(text, separator), separator=separator)


def decoded(content: bytes, encoding: str) -> str:
    """Text of the bytes, without byte-order mark."""
    # utf-8-sig also reads files without a byte-order mark.
    codec = "utf-8-sig" if encoding.lower() in ("utf-8", "utf8") else encoding
    try:
        text = content.decode(codec)
    except UnicodeDecodeError as error:
        raise Unreadable(
            f"This is not {encoding} text: save the file as UTF-8, or choose the "
            "encoding it was saved in.",
            row=content[: error.start].count(b"\n") + 1,
            value=f"byte {content[error.start]:#04x}",
        ) from None
    except UnicodeError:
        raise Unreadable(
            f"This is not {encoding} text: choose the encoding it was saved in."
        ) from None
    if "\x00" in text:
        raise Unreadable(
            "There are zero bytes in this file: it is not text, or it is UTF-16. "
            "Save it as UTF-8.",
            row=text[: text.index("\x00")].count("\n") + 1,
        )
    return text.removeprefix("\ufeff")


def separator_of(text: str, wanted: str) -> str:
    """As chosen, else whichever sign parts the heading into more known names."""
    if wanted != "auto":
        return wanted
    heading = next((line for line in text.splitlines() if line.strip()), "")
    known = {column for sheet in SHEETS.values() for column in sheet.by_name}

    def recognised(sign: str) -> int:
        names = (name.strip(' "').lower() for name in heading.split(sign))
        return sum(name in known for name in names)

    return max((",", ";"), key=lambda sign: (recognised(sign), heading.count(sign)))


def _lines(text: str, separator: str) -> Iterator[tuple[int, list[str]]]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    number = 0
    try:
        for number, cells in enumerate(reader, start=1):
            yield number, cells
    except csv.Error as error:
        raise Unreadable(_in_words(error), row=number + 1) from None


def _in_words(error: csv.Error) -> str:
    reason = str(error)
    if "unexpected end" in reason:
        return "A quotation mark is opened in this row or below and never closed."
    if "expected after" in reason:
        return "After a closing quotation mark comes a separator or the end of the row."
    if "field limit" in reason:
        return "A cell is longer than 131,072 characters: is a quotation mark missing?"
    return f"This row cannot be split into cells ({reason})."


def _file_names() -> str:
    names = [f"{sheet}.csv" for sheet in SHEETS]
    return ", ".join(names[:-1]) + " or " + names[-1]
