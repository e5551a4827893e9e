"""Empty sheets to fill in, with notes on every column, from the one layout."""

import csv
import io
import zipfile

import xlsxwriter

from records.importing.columns import Column
from records.importing.layout import SHEETS

NOTES_HEADING = ("sheet", "column", "must be filled", "value", "unit", "meaning")
WORDS_HEADING = "allowed words"
WIDTHS = {0: 12, 1: 24, 2: 14, 3: 24, 4: 12, 5: 60, 6: 100}


def note_of(sheet: str, column: Column) -> list[str]:
    """One line of the notes."""
    kind = column.kind.value
    if column.longest:
        kind = f"{kind}, at most {column.longest} characters"
    return [
        sheet,
        column.name,
        "yes" if column.required else "",
        kind,
        column.unit,
        column.meaning,
        allowed_words(column),
    ]


def allowed_words(column: Column) -> str:
    return "; ".join(column.words.allowed) if column.words else ""


def notes() -> list[list[str]]:
    return [
        note_of(sheet.name, column)
        for sheet in SHEETS.values()
        for column in sheet.columns
    ]


def csv_templates() -> bytes:
    """A zip file with one CSV a sheet, heading only, and the notes as text."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as container:
        for sheet in SHEETS.values():
            heading = io.StringIO()
            csv.writer(heading).writerow(sheet.by_name)
            container.writestr(f"{sheet.name}.csv", "\ufeff" + heading.getvalue())
        container.writestr("columns.txt", "\ufeff" + _notes_as_text())
    return packed.getvalue()


def _notes_as_text() -> str:
    lines = []
    for sheet in SHEETS.values():
        lines.append(f"{sheet.name}: {sheet.meaning}\r\n")
        for column in sheet.columns:
            _, name, _, kind, unit, meaning, words = note_of(sheet.name, column)
            mark = " (must be filled)" if column.required else ""
            lines.append(f"  {name}{mark}: {meaning}. Value: {kind} {unit}".rstrip())
            lines.append(f"\r\n    Allowed: {words}\r\n" if words else "\r\n")
        lines.append("\r\n")
    return "".join(lines)


def workbook_template() -> bytes:
    """One workbook with the four sheets, heading only, and a sheet of notes."""
    packed = io.BytesIO()
    book = xlsxwriter.Workbook(packed, {"in_memory": True})
    bold = book.add_format({"bold": True})
    must = book.add_format({"bold": True, "bottom": 2})
    for sheet in SHEETS.values():
        page = book.add_worksheet(sheet.name)
        page.freeze_panes(1, 0)
        for place, column in enumerate(sheet.columns):
            page.write(0, place, column.name, must if column.required else bold)
            page.write_comment(0, place, _comment(column))
            page.set_column(place, place, max(12, len(column.name) + 2))
    page = book.add_worksheet("notes")
    page.freeze_panes(1, 0)
    page.write_row(0, 0, (*NOTES_HEADING, WORDS_HEADING), bold)
    for row, line in enumerate(notes(), start=1):
        page.write_row(row, 0, line)
    for place, width in WIDTHS.items():
        page.set_column(place, place, width)
    book.close()
    return packed.getvalue()


def _comment(column: Column) -> str:
    unit = f" ({column.unit})" if column.unit else ""
    must = " Must be filled." if column.required else ""
    return f"{column.meaning}{unit}. Value: {column.kind.value}.{must}"
