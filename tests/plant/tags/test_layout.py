"""Tags stand on the page side by side, and words stay in their boxes."""

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plant.tags.layout import (
    LEADING,
    PAGE_HEIGHT,
    PAGE_WIDTH,
    SHEETS,
    Box,
    fitted,
)


def measure(text: str, size: float) -> float:
    """Every letter half as wide as high."""
    return 0.5 * size * len(text)


@pytest.mark.parametrize("sheet", SHEETS.values(), ids=lambda sheet: sheet.key)
def test_tags_of_a_page_neither_overlap_nor_leave_the_paper(sheet):
    corners = [sheet.corner(index) for index in range(sheet.per_page)]
    for left, low in corners:
        assert left >= 5
        assert left + sheet.width <= PAGE_WIDTH - 5
        assert low >= 5
        assert low + sheet.height <= PAGE_HEIGHT - 5
    for (left, low), (right, high) in combinations(corners, 2):
        apart_across = abs(left - right) >= sheet.width
        apart_down = abs(low - high) >= sheet.height
        assert apart_across or apart_down


def test_the_words_name_number_and_size():
    assert SHEETS["small"].words == "Small: 24 a page, 63 × 33 mm"
    assert SHEETS["medium"].words == "Medium: 10 a page, 96 × 55 mm"


def test_the_next_page_begins_in_the_same_corner():
    sheet = SHEETS["small"]
    assert sheet.corner(24) == sheet.corner(0)
    assert sheet.corner(1)[0] > sheet.corner(0)[0]


def test_a_short_name_takes_the_whole_height():
    box = Box(0, 0, width=200, height=23)
    assert fitted("P-1", measure, box, smallest=5).size == pytest.approx(20)


def test_a_long_service_wraps_at_its_blanks_and_keeps_every_word():
    box = Box(0, 0, width=60, height=23)
    text = "reflux of the second column"
    words = fitted(text, measure, box, smallest=5)
    assert len(words.lines) > 1
    assert " ".join(words.lines) == text
    assert words.size < 20


def test_a_long_tag_breaks_and_keeps_every_letter():
    box = Box(0, 0, width=60, height=23)
    tag = "XX-PUMP-0123456789-LONG-A"
    words = fitted(tag, measure, box, smallest=5)
    assert len(words.lines) > 1
    assert "".join(words.lines) == tag


def test_what_cannot_fit_is_cut_and_says_so():
    box = Box(0, 0, width=30, height=12)
    words = fitted("word " * 40, measure, box, smallest=5)
    assert words.size == 5
    assert words.lines[-1].endswith("…")


@given(
    text=st.text(max_size=120),
    width=st.floats(20, 300),
    height=st.floats(7, 60),
)
def test_no_text_leaves_its_box(text, width, height):
    words = fitted(text, measure, Box(0, 0, width, height), smallest=5)
    assert all(measure(line, words.size) <= width + 1e-6 for line in words.lines)
    assert len(words.lines) * words.size * LEADING <= height + 1e-6
