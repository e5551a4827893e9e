"""The PDF: its words, and the QR code as it is drawn, module by module."""

from io import BytesIO

import pytest
import segno
from pypdf import PdfReader
from pypdf.generic import ContentStream

from plant.tags.codes import TagKind
from plant.tags.labels import Label
from plant.tags.layout import SHEETS
from plant.tags.pdf import sheets_pdf

ADDRESS = "https://logbook.plant.example/t/117H/"


def label(kind=TagKind.POSITION, **facts) -> Label:
    given = {
        "name": "P-1205A",
        "letter": "A",
        "lines": ("Wash liquor",),
        "place": "Marsh works, Acid",
        "code": "T 117H",
        "address": ADDRESS,
        **facts,
    }
    return Label(kind=kind, **given)


def pages(labels, sheet="medium"):
    return PdfReader(BytesIO(sheets_pdf(labels, SHEETS[sheet]))).pages


def operations(page, *names):
    stream = ContentStream(page.get_contents(), page.pdf)
    return [
        [float(value) for value in operands]
        for operands, operator in stream.operations
        if operator.decode() in names
    ]


def matrix_drawn(page) -> list[list[int]]:
    """Dark modules from the rectangles on the page, all as low as the lowest."""
    boxes = operations(page, "re")
    module = min(height for *_place, height in boxes)
    runs = [box for box in boxes if box[3] == pytest.approx(module, rel=1e-3)]
    left = min(run[0] for run in runs)
    top = max(run[1] for run in runs)
    size = round((max(run[0] + run[2] for run in runs) - left) / module)
    matrix = [[0] * size for _ in range(size)]
    for x, y, width, _height in runs:
        start = round((x - left) / module)
        for across in range(start, start + round(width / module)):
            matrix[round((top - y) / module)][across] = 1
    return matrix


@pytest.mark.parametrize("sheet", SHEETS)
@pytest.mark.parametrize("kind", TagKind)
def test_the_code_drawn_is_that_of_the_address(sheet, kind):
    (page,) = pages([label(kind)], sheet)
    right = segno.make(ADDRESS, error="q", boost_error=False, micro=False)
    assert matrix_drawn(page) == [list(row) for row in right.matrix]


def test_a_position_tag_shows_its_words():
    (page,) = pages([label()])
    text = page.extract_text().splitlines()
    for words in ("POSITION", "P-1205A", "A", "Wash liquor", "Marsh works, Acid"):
        assert words in text
    assert "T 117H" in text
    assert "PUMP" not in text


def test_a_pump_tag_differs_in_word_and_outline():
    (position,) = pages([label()])
    (pump,) = pages([label(TagKind.PUMP, name="HW-0613", letter="", code="P 45J")])
    text = pump.extract_text().splitlines()
    assert "PUMP" in text
    assert "HW-0613" in text
    assert "P 45J" in text
    # The ring is drawn with curves; the corners are cut with slanting lines.
    assert operations(position, "c") == []
    assert operations(pump, "c") != []
    assert _slanting(pump) == 4
    assert _slanting(position) == 0


def _slanting(page) -> int:
    """Lines of the outline that are neither level nor upright."""
    points = operations(page, "m", "l")[:8]
    pairs = zip(points, [*points[1:], points[0]], strict=True)
    return sum(a[0] != b[0] and a[1] != b[1] for a, b in pairs)


@pytest.mark.parametrize(
    ("sheet", "count"), [("small", 2), ("medium", 3), ("large", 7)]
)
def test_tags_go_on_over_the_pages_in_their_order(sheet, count):
    printed = pages([label(name=f"P-{n:03d}") for n in range(25)], sheet)
    assert len(printed) == count
    names = [
        line
        for page in printed
        for line in page.extract_text().splitlines()
        if line.startswith("P-")
    ]
    assert names == [f"P-{n:03d}" for n in range(25)]


def test_letters_of_other_alphabets_are_printed():
    (page,) = pages([label(lines=("Überlauf ž Вода αβ",))])
    text = " ".join(page.extract_text().split())
    assert "Überlauf ž Вода αβ" in text


def test_no_image_is_in_the_file():
    (page,) = pages([label()])
    assert list(page.images) == []
