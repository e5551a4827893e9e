"""What was read from files before any cell is understood."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any

from records.importing.layout import SHEETS
from records.importing.report import Fault, Report

SHARED_TEXTS = 20_000


class Unreadable(Exception):
    """A file that cannot be read; says where and what would be right."""

    def __init__(self, right: str, *, row: int = 0, column: str = "", value: str = ""):
        super().__init__(right)
        self.right, self.row, self.column, self.value = right, row, column, value


class NothingInIt(Unreadable):
    """A sheet without rows; in a workbook that has others it is left out."""


@dataclass(slots=True)
class RawTable:
    """Heading and rows of one sheet; each row with its number in the sheet."""

    sheet: str
    heading: list[str]
    rows: list[tuple[int, list[Any]]]
    separator: str | None = None
    source: str = ""


@dataclass(slots=True)
class RawFleet:
    """The sheets that were found, and what could not be read at all."""

    tables: dict[str, RawTable] = field(default_factory=dict)
    report: Report = field(default_factory=Report)

    @property
    def faults(self) -> list[Fault]:
        return self.report.faults

    @property
    def row_count(self) -> int:
        return sum(len(table.rows) for table in self.tables.values())

    def add(self, table: RawTable) -> None:
        earlier = self.tables.get(table.sheet)
        if earlier is None:
            self.tables[table.sheet] = table
            return
        self.refuse(
            table.source,
            Unreadable(
                f"The sheet {table.sheet} is already in {earlier.source}: "
                "put its rows into one file."
            ),
        )

    def refuse(self, source: str, reason: Unreadable) -> None:
        self.report.fault(source, reason.row, reason.column, reason.value, reason.right)


def table_from(
    source: str,
    sheet: str,
    lines: Iterable[tuple[int, list[Any]]],
    *,
    separator: str | None = None,
) -> RawTable:
    """Split numbered lines into heading and rows; blank rows are passed over."""
    numbered = iter(lines)
    for _number, cells in numbered:
        # A byte-order mark stands before the first word, and no blank it is.
        heading = [
            "" if cell is None else str(cell).strip().strip("\ufeff\u200b").strip()
            for cell in cells
        ]
        if any(heading):
            break
    else:
        raise NothingInIt("It is empty: put a heading and rows into it.")
    rows = list(_rows(numbered, len(heading)))
    if not rows:
        raise NothingInIt(
            "There is only a heading: add rows, or leave the file out.", row=1
        )
    return RawTable(sheet, heading, rows, separator, source)


def _rows(
    lines: Iterator[tuple[int, list[Any]]], width: int
) -> Iterator[tuple[int, list[Any]]]:
    # A fleet repeats its words: one object for each keeps a long file small.
    shared: dict[str, str] = {}
    for number, cells in lines:
        row: list[Any] = []
        for cell in cells:
            if isinstance(cell, str):
                cell = cell.strip()
                if len(shared) < SHARED_TEXTS:
                    cell = shared.setdefault(cell, cell)
                else:
                    cell = shared.get(cell, cell)
            row.append(cell)
        if any(cell is not None and cell != "" for cell in row):
            while len(row) > width and row[-1] in (None, ""):
                row.pop()
            yield number, row


def sheet_named(name: str) -> str | None:
    """The sheet that a file or worksheet name means; None when it is none of them."""
    word = name.lower().strip()
    if word in SHEETS:
        return word
    meant = [sheet for sheet in SHEETS if sheet in word]
    return meant[0] if len(meant) == 1 else None


def sheet_with_heading(heading: list[str]) -> str | None:
    """The one sheet whose required columns are all in this heading."""
    names = {name.strip().lower() for name in heading}
    fits = [name for name, sheet in SHEETS.items() if names >= set(sheet.required)]
    return fits[0] if len(fits) == 1 else None
