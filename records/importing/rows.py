"""From a raw table to rows of understood values; each cell is judged by itself."""

from collections.abc import Iterator
from typing import Any

from records.importing.columns import Kind, Sheet
from records.importing.layout import SHEETS
from records.importing.moments import NotAMoment
from records.importing.numbers import NotANumber, NumberStyle, style_of
from records.importing.options import ReadOptions
from records.importing.raw import RawTable
from records.importing.report import Report
from records.importing.values import Reader, Wrong, reader_for

NUMBERS = (Kind.NUMBER, Kind.COUNT, Kind.SHARE, Kind.MONEY)
HEADING_ROW = 1
PROGRESS_EVERY = 1000


class Values(dict[str, Any]):
    """The understood cells of one row by column name, and which were faulty."""

    __slots__ = ("faulty",)

    def __init__(self) -> None:
        super().__init__()
        self.faulty: list[str] = []


def readers_for(
    table: RawTable, options: ReadOptions, report: Report
) -> list[tuple[int, str, Reader]]:
    """A reader for each known column; faults and notes about the heading."""
    sheet = SHEETS[table.sheet]
    names = [name.strip().lower() for name in table.heading]
    _heading_check(sheet, names, report)
    known = [
        (place, sheet.by_name[name])
        for place, name in enumerate(names)
        if name in sheet.by_name and names.index(name) == place
    ]
    places = [place for place, column in known if column.kind in NUMBERS]
    style = _style(table, places, options)
    return [
        (place, column.name, reader_for(column, style, options.date_order))
        for place, column in known
    ]


def _heading_check(sheet: Sheet, names: list[str], report: Report) -> None:
    for name in sheet.required:
        if name not in names:
            right = f"The column {name} is missing: the sheet cannot do without it."
            report.fault(sheet.name, HEADING_ROW, name, "", right)
    for name in dict.fromkeys(names):
        if name and names.count(name) > 1:
            report.fault(
                sheet.name,
                HEADING_ROW,
                name,
                name,
                f"This heading stands over {names.count(name)} columns: keep one.",
            )
    unknown = [name for name in dict.fromkeys(names) if name not in sheet.by_name]
    if "" in unknown:
        unknown[unknown.index("")] = "(no heading)"
    if unknown:
        listed = ", ".join(unknown)
        report.note(sheet.name, f"columns not known here and ignored: {listed}.", 0)


def _style(table: RawTable, places: list[int], options: ReadOptions) -> NumberStyle:
    cells = (
        cells[place]
        for _, cells in table.rows
        for place in places
        if place < len(cells)
    )
    return style_of(cells, decimal=options.decimal, separator=table.separator)


def rows_of(
    table: RawTable, options: ReadOptions, report: Report
) -> Iterator[tuple[int, Values]]:
    """Each row's number and its values; blank and faulty cells are left out."""
    readers = readers_for(table, options, report)
    required = SHEETS[table.sheet].required
    has_required = set(required) <= {name for _, name, _ in readers}
    width = len(table.heading)
    for number, cells in table.rows:
        if len(cells) > width:
            _too_wide(table, number, cells[width:], report)
        values = _row_values(table.sheet, number, cells, readers, report)
        if has_required:
            for name in required:
                if name not in values and name not in values.faulty:
                    report.fault(table.sheet, number, name, "", "This must be filled.")
        yield number, values


def _row_values(
    sheet: str,
    number: int,
    cells: list[Any],
    readers: list[tuple[int, str, Reader]],
    report: Report,
) -> Values:
    values = Values()
    width = len(cells)
    for place, name, read in readers:
        if place >= width:
            continue
        cell = cells[place]
        if cell is None or cell == "":
            continue
        try:
            value = read(cell)
        except (Wrong, NotANumber, NotAMoment) as refusal:
            values.faulty.append(name)
            report.fault(sheet, number, name, cell, str(refusal))
        else:
            # Nothing is left of a text of invisible signs.
            if value != "":
                values[name] = value
    return values


def _too_wide(table: RawTable, number: int, rest: list[Any], report: Report) -> None:
    report.fault(
        table.sheet,
        number,
        "",
        (table.separator or " ").join(str(cell) for cell in rest),
        "The row has more cells than the heading: does a text or a number hold the "
        "separator without quotation marks?",
    )
