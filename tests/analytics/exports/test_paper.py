"""Tables on paper: a figure keeps its digits together."""

import io

from pypdf import PdfReader

from analytics.exports.paper import document_of, table
from plant.tags.fonts import fonts_register

BILLIONS = "+123,456,789,012.34"


def test_a_figure_wider_than_its_column_is_set_smaller_and_not_broken():
    fonts_register()
    sheet = table(["Site", "Cost"], [("A", BILLIONS), ("B", "1.00")], (40, 25), (1,))
    content, pages = document_of([sheet], title="t", footer="f")
    (page,) = PdfReader(io.BytesIO(content)).pages
    assert pages == 1
    assert BILLIONS in page.extract_text().splitlines()


def test_a_note_after_a_figure_may_go_into_the_next_line():
    fonts_register()
    sheet = table(["Site", "Cost"], [("A", f"{BILLIONS} (+36 %)")], (40, 25), (1,))
    content, _ = document_of([sheet], title="t", footer="f")
    (page,) = PdfReader(io.BytesIO(content)).pages
    lines = page.extract_text().splitlines()
    assert BILLIONS in [line.strip() for line in lines]
