"""Tags that hold spaces and commas, typed into one field."""

import pytest

from analytics.forms.upgrade_tags import tags_read, tags_written

KNOWN = {"P-1", "P-2", "P 10 A", "P 10", "P-7, old", "P-7"}


@pytest.mark.parametrize(
    ("typed", "tags"),
    [
        ("P-1, P-2", ["P-1", "P-2"]),
        ("P-1;P-2\r\nP-7", ["P-1", "P-2", "P-7"]),
        ("P-1 P-2", ["P-1", "P-2"]),
        ("P 10 A, P 10 ,P-1", ["P 10 A", "P 10", "P-1"]),
        ("P-7, old; P-7, P-1", ["P-7, old", "P-7", "P-1"]),
        ("P-7, P-7, P-2", ["P-7", "P-2"]),
        ("P-99 B, P-1", ["P-99 B", "P-1"]),
        ("P-1 P-99", ["P-1 P-99"]),
        (" , ;", []),
    ],
)
def test_the_longest_tag_of_the_site_is_taken(typed, tags):
    assert tags_read(typed, KNOWN) == tags


@pytest.mark.parametrize(
    "tags", [["P-1", "P-2"], ["P-7", "P-7, old"], ["P 10", "P 10 A", "P-7, old"]]
)
def test_what_is_written_is_read_again(tags):
    assert tags_read(tags_written(tags), KNOWN) == tags
