"""Templates: components say what they take; nothing inline that the policy forbids."""

import re

import pytest

from tests.architecture.places import TEMPLATES, shown, templates

EVENT_HANDLER = re.compile(r"<[^>]*\son[a-z]+\s*=", re.IGNORECASE)
INLINE_STYLE = re.compile(r"<[^>]*\sstyle\s*=|<style\b", re.IGNORECASE)
INLINE_SCRIPT = re.compile(r"<script\b(?![^>]*\bsrc=)", re.IGNORECASE)
# These stand alone on the page that includes them: no extends, so inputs are named.
FIRST_LINE = re.compile(r"\{# \S.* #\}")


def text_of(file) -> str:
    return file.read_text(encoding="utf-8")


def fragments():
    return [f for f in templates() if not text_of(f).startswith("{% extends")]


@pytest.mark.parametrize(
    ("forbidden", "name"),
    [
        (EVENT_HANDLER, "event handler"),
        (INLINE_STYLE, "inline style"),
        (INLINE_SCRIPT, "inline script"),
    ],
)
def test_nothing_is_inline(forbidden, name):
    found = [shown(f) for f in templates() if forbidden.search(text_of(f))]
    assert found == [], name


def test_every_component_names_its_inputs_in_its_first_line():
    found = [
        shown(f)
        for f in (TEMPLATES / "components").rglob("*.html")
        if not FIRST_LINE.match(text_of(f).splitlines()[0])
    ]
    assert found == []


def test_every_fragment_of_a_page_names_its_inputs_too():
    whole_pages = {"base.html", "500.html"}
    found = [
        shown(f)
        for f in fragments()
        if f.name not in whole_pages
        and not FIRST_LINE.match(text_of(f).splitlines()[0])
    ]
    assert found == []


@pytest.mark.parametrize(
    ("pattern", "html"),
    [
        (EVENT_HANDLER, '<a href="/x" onclick="go()">'),
        (INLINE_STYLE, '<p style="color: red">'),
        (INLINE_STYLE, "<style>p {}</style>"),
        (INLINE_SCRIPT, "<script>go()</script>"),
    ],
)
def test_the_patterns_find_what_they_are_for(pattern, html):
    assert pattern.search(html)
