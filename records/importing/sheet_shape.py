"""Looks through a worksheet before it is read, and refuses an absurd shape.

A file of a few kilobytes can claim row 2,000,000,000, which a reader fills with blank
rows one by one, or hold one row of millions of cells, which a reader keeps whole.
"""

from typing import IO
from xml.parsers import expat

from records.importing.raw import Unreadable

MOST_ROWS = 1_000_000
LARGEST_GAP = 10_000
MOST_CELLS_IN_ROW = 1_000
MOST_CELLS = 20_000_000
CHUNK = 1 << 18

TOO_MANY_ROWS = f"More than {MOST_ROWS:,} rows: split the sheet by area or year."
TOO_WIDE_A_GAP = (
    f"More than {LARGEST_GAP:,} rows are missing before this one: delete the blank "
    "rows between."
)
TOO_WIDE_A_ROW = (
    f"More than {MOST_CELLS_IN_ROW:,} cells: keep the columns of the sheet."
)
TOO_MANY_CELLS = f"More than {MOST_CELLS:,} cells: split the sheet by area or year."
BACKWARDS = "The rows of this sheet are not in order: save it anew as .xlsx."
NOT_NEEDED = "This workbook holds what no sheet needs."


def refuse_absurd_shape(sheet: IO[bytes]) -> None:
    """Read the XML of one worksheet piece by piece, keeping nothing.

    Raises
    ------
    Unreadable
        At the first row that no honest sheet has.
    expat.ExpatError
        When it is no XML.
    """
    shape = _Shape()
    parser = expat.ParserCreate()
    parser.StartElementHandler = shape.start
    parser.StartDoctypeDeclHandler = shape.doctype
    while piece := sheet.read(CHUNK):
        parser.Parse(piece)
    parser.Parse(b"", True)


class _Shape:
    """What was seen so far: the number of the row, and its cells."""

    def __init__(self) -> None:
        self.row = 0
        self.cells_in_row = 0
        self.cells = 0

    def start(self, name: str, attributes: dict[str, str]) -> None:
        # A file may put a prefix before every name.
        kind = name.rpartition(":")[2]
        if kind == "c":
            self._cell()
        elif kind == "row":
            self._row(attributes.get("r", ""))

    def _cell(self) -> None:
        self.cells += 1
        self.cells_in_row += 1
        if self.cells_in_row > MOST_CELLS_IN_ROW:
            raise Unreadable(TOO_WIDE_A_ROW, row=self.row)
        if self.cells > MOST_CELLS:
            raise Unreadable(TOO_MANY_CELLS, row=self.row)

    def _row(self, written: str) -> None:
        earlier, self.cells_in_row = self.row, 0
        self.row = earlier + 1
        if written:
            # Python refuses to read thousands of digits as a number.
            self.row = int(written) if len(written) < 10 else MOST_ROWS + 1
        if self.row <= earlier:
            raise Unreadable(BACKWARDS, row=self.row)
        if self.row - earlier > LARGEST_GAP:
            raise Unreadable(TOO_WIDE_A_GAP, row=self.row)
        if self.row > MOST_ROWS:
            raise Unreadable(TOO_MANY_ROWS, row=MOST_ROWS)

    def doctype(self, *_: object) -> None:
        raise Unreadable(NOT_NEEDED)
