"""Nothing a browser loads, follows or sends leaves the host."""

import re
from html.parser import HTMLParser

import pytest

from tests.architecture.places import shown, static_files, templates
from tests.conftest import logged_in
from tests.factories.plant import UserFactory
from tests.pages.permission_rows import ROWS
from tests.pages.permission_world import address, world_standing

ADDRESS_ATTRIBUTES = {
    "src",
    "href",
    "action",
    "formaction",
    "srcset",
    "poster",
    "data",
    "hx-get",
    "hx-post",
    "hx-put",
    "hx-patch",
    "hx-delete",
}
OUTSIDE = re.compile(
    r"^\s*(?:[a-z][a-z0-9+.-]*:)?//|^\s*(?:javascript|mailto|ftp):", re.I
)
IN_TEMPLATE = re.compile(
    r"(?:src|href|action|hx-[a-z]+)\s*=\s*[\"']\s*(?:[a-z][a-z0-9+.-]*:)?//", re.I
)
IN_STYLE = re.compile(r"(?:url\(|@import)\s*[\"']?\s*(?:[a-z][a-z0-9+.-]*:)?//", re.I)
IN_SCRIPT = re.compile(r"[\"'`](?:https?|wss?):?//", re.I)


class Addresses(HTMLParser):
    """Collects every address that a page names."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.found: list[str] = []
        self.feed(html)

    def handle_starttag(self, tag, attributes) -> None:
        self.found += [
            value
            for name, value in attributes
            if name in ADDRESS_ATTRIBUTES and value is not None
        ]


def outside(html: str) -> list[str]:
    return [found for found in Addresses(html).found if OUTSIDE.match(found)]


@pytest.mark.parametrize(
    "html",
    [
        '<script src="https://elsewhere.invalid/x.js"></script>',
        '<a href="//elsewhere.invalid/">',
        '<form action="http://elsewhere.invalid/">',
        '<a href="javascript:go()">',
    ],
)
def test_an_address_outside_is_seen(html):
    assert len(outside(html)) == 1


def test_no_template_names_one():
    found = [shown(f) for f in templates() if IN_TEMPLATE.search(f.read_text("utf-8"))]
    assert found == []


def test_no_style_or_script_names_one():
    styles = [f for f in static_files(".css") if IN_STYLE.search(f.read_text("utf-8"))]
    scripts = [f for f in static_files(".js") if IN_SCRIPT.search(f.read_text("utf-8"))]
    assert [shown(f) for f in styles + scripts] == []


@pytest.fixture(scope="module")
def everything(django_db_setup, django_db_blocker):
    with django_db_blocker.unblock(), world_standing() as world:
        yield world, UserFactory(is_superuser=True, is_staff=True)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.name)
def test_no_page_shows_one(row, everything, db):
    world, user = everything
    response = logged_in(user).get(address(row, world))
    if "html" in response.get("Content-Type", ""):
        assert outside(response.text) == []
