"""Workbooks that claim an absurd shape are refused before they are read."""

import io
import time
import zipfile

import pytest

from plant.access import shell_user
from records.importing import sheet_shape
from records.importing.raw import Unreadable
from records.importing.sheet_shape import refuse_absurd_shape
from tests.records.importing.sheets import as_xlsx, faults, fleet

SPACE = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"


def sheet(rows):
    text = f'<worksheet xmlns="{SPACE}"><sheetData>{rows}</sheetData></worksheet>'
    return io.BytesIO(text.encode())


def refusal(rows):
    with pytest.raises(Unreadable) as refused:
        refuse_absurd_shape(sheet(rows))
    return refused.value.right


def test_an_ordinary_sheet_passes():
    refuse_absurd_shape(sheet('<row r="1"><c r="A1"/></row><row r="9000"/><row/>'))


@pytest.mark.parametrize(
    ("rows", "sentence"),
    [
        ('<row r="1"/><row r="10002"/>', sheet_shape.TOO_WIDE_A_GAP),
        ('<row r="2000000000"/>', sheet_shape.TOO_WIDE_A_GAP),
        (f'<row r="{"9" * 5000}"/>', sheet_shape.TOO_WIDE_A_GAP),
        ('<row r="5"/><row r="2"/>', sheet_shape.BACKWARDS),
        (f"<row>{'<c/>' * 1001}</row>", sheet_shape.TOO_WIDE_A_ROW),
        ("<row/>" * 1_000_001, sheet_shape.TOO_MANY_ROWS),
    ],
)
def test_an_absurd_shape_is_refused(rows, sentence):
    assert refusal(rows) == sentence


def test_cells_are_counted_over_all_rows(monkeypatch):
    monkeypatch.setattr(sheet_shape, "MOST_CELLS", 5)
    assert refusal("<row><c/><c/><c/></row>" * 2) == sheet_shape.TOO_MANY_CELLS


def test_a_prefix_before_the_names_hides_nothing():
    text = f'<x:worksheet xmlns:x="{SPACE}"><x:row r="99999"/></x:worksheet>'
    with pytest.raises(Unreadable, match="are missing"):
        refuse_absurd_shape(io.BytesIO(text.encode()))


@pytest.mark.django_db
def test_a_small_workbook_that_claims_a_far_row_is_refused_at_once():
    ((name, packed),) = as_xlsx(fleet())
    changed = io.BytesIO()
    with zipfile.ZipFile(packed) as old, zipfile.ZipFile(changed, "w") as new:
        for part in old.namelist():
            content = old.read(part)
            if part == "xl/worksheets/sheet1.xml":
                content = content.replace(
                    b"</sheetData>", b'<row r="2000000000"/></sheetData>'
                )
            new.writestr(part, content)
    changed.seek(0)
    begin = time.monotonic()
    found = faults([(name, changed)], shell_user())
    assert time.monotonic() - begin < 5
    assert sheet_shape.TOO_WIDE_A_GAP in [right for *_, right in found]
