"""Reads an .xlsx workbook, and refuses what only looks like one."""

import io
import zipfile
from collections.abc import Iterator
from datetime import date, datetime
from typing import Any

import openpyxl
from django.conf import settings

from records.importing.csv_files import OLD_WORKBOOK_START
from records.importing.raw import (
    NothingInIt,
    RawFleet,
    Unreadable,
    sheet_named,
    table_from,
)
from records.importing.sheet_shape import refuse_absurd_shape

# Ordinary sheets shrink five- to tenfold in the container; far more is a trap.
MOST_UNPACKED = 12
MOST_TEXTS_UNPACKED = 3
WIDEST = 200
# A damaged container makes zip, inflate, XML and workbook readers each fail in ways of
# their own, which none of them lists.
DAMAGED = (Exception,)
PLAIN_CELL = (str, int, float, bool, datetime, date, type(None))
ERROR_CELLS = {
    "#N/A",
    "#REF!",
    "#VALUE!",
    "#DIV/0!",
    "#NAME?",
    "#NUM!",
    "#NULL!",
}


def workbook_add(raw: RawFleet, name: str, content: bytes) -> None:
    """Add every known worksheet to `raw`; what cannot be read becomes a fault."""
    try:
        refuse_what_is_none(content)
        book = openpyxl.load_workbook(io.BytesIO(content), read_only=True)
    except Unreadable as reason:
        raw.refuse(name, reason)
        return
    except DAMAGED:
        raw.refuse(name, Unreadable("This workbook is damaged: save it anew as .xlsx."))
        return
    known = [(w, sheet_named(w.title)) for w in book.worksheets]
    _unknown_note(raw, name, [w.title for w, sheet in known if sheet is None])
    blank: list[tuple[str, Unreadable]] = []
    for worksheet, sheet in known:
        if sheet is not None:
            _worksheet_add(raw, worksheet, sheet, name, blank)
    book.close()
    if not any(sheet for _, sheet in known):
        right = (
            "No sheet is named positions, pumps, components or repairs: name at least "
            "one so."
        )
        raw.refuse(name, Unreadable(right))
    for source, why in blank:
        if raw.tables:
            raw.report.note(source, "left out, since there are no rows.", 0)
        else:
            raw.refuse(source, why)


def _unknown_note(raw: RawFleet, name: str, titles: list[str]) -> None:
    # The template's own sheet of notes is no surprise.
    unknown = [title for title in titles if title.lower() != "notes"]
    if unknown:
        raw.report.note(name, f"sheets not known here: {', '.join(unknown)}.", 0)


def refuse_what_is_none(content: bytes) -> None:
    """Refuse what is no workbook, or would unpack to an absurd size."""
    if content.startswith(OLD_WORKBOOK_START):
        raise Unreadable(
            "This workbook is in the old format or has a password: save it as .xlsx "
            "without one."
        )
    if not zipfile.is_zipfile(io.BytesIO(content)):
        raise Unreadable("This is not a workbook: save it as .xlsx.")
    with zipfile.ZipFile(io.BytesIO(content)) as container:
        parts = container.infolist()
        if "xl/workbook.xml" not in container.namelist():
            raise Unreadable("This is not a workbook: save it as .xlsx.")
        limit = settings.IMPORT_FILE_LIMIT_BYTES
        unpacked = sum(part.file_size for part in parts)
        # Texts and styles are kept whole; only the sheets are read row by row.
        texts = sum(p.file_size for p in parts if _is_kept_whole(p.filename))
        if unpacked > MOST_UNPACKED * limit or texts > MOST_TEXTS_UNPACKED * limit:
            raise Unreadable(
                "This workbook unpacks to an absurd size: save its sheets as CSV files."
            )
        for part in parts:
            if part.filename.endswith(".xml"):
                with container.open(part) as opened:
                    if b"<!" in opened.read(1024).replace(b"<!--", b""):
                        raise Unreadable("This workbook holds what no sheet needs.")


def _is_kept_whole(part: str) -> bool:
    return part.endswith((".xml", ".rels")) and not part.startswith("xl/worksheets/")


def _worksheet_add(
    raw: RawFleet,
    worksheet: Any,
    sheet: str,
    name: str,
    blank: list[tuple[str, Unreadable]],
) -> None:
    source = f"{name}, sheet {worksheet.title}"
    # The size a file claims may be wrong in both directions.
    worksheet.reset_dimensions()
    try:
        with worksheet._get_source() as opened:
            refuse_absurd_shape(opened)
        raw.add(table_from(source, sheet, _lines(raw, worksheet, sheet)))
    except NothingInIt as reason:
        blank.append((source, reason))
    except Unreadable as reason:
        raw.refuse(source, reason)
    except DAMAGED:
        raw.refuse(source, Unreadable("This sheet is damaged: save it anew as .xlsx."))


def _lines(
    raw: RawFleet, worksheet: Any, sheet: str
) -> Iterator[tuple[int, list[Any]]]:
    heading: list[str] = []
    rows = worksheet.iter_rows(max_col=WIDEST, values_only=True)
    for number, cells in enumerate(rows, start=1):
        line = list(cells)
        for place, cell in enumerate(line):
            right = _refusal(cell)
            if right:
                column = heading[place] if place < len(heading) else ""
                raw.refuse(
                    sheet, Unreadable(right, row=number, column=column, value=str(cell))
                )
                line[place] = None
        if not heading and any(line):
            heading = ["" if cell is None else str(cell) for cell in line]
        while line and line[-1] in (None, ""):
            line.pop()
        yield number, line


def _refusal(cell: Any) -> str:
    if isinstance(cell, str):
        if "\x00" in cell:
            return "There is a zero byte in this cell: type it anew."
        if cell.startswith("=") and len(cell) > 1:
            return "This is a formula: paste its value instead."
        if cell in ERROR_CELLS:
            return "This is the error of a formula: paste a value, or leave it blank."
        return ""
    if not isinstance(cell, PLAIN_CELL):
        return "This cell holds no text, number or date: paste a value instead."
    return ""
