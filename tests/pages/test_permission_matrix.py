"""Every address answers each role as its line in permission_rows.py says."""

from collections.abc import Iterator

import pytest
from django.contrib.auth.models import Group
from django.db import transaction
from django.http import HttpResponse
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver

from tests.conftest import logged_in
from tests.factories.plant import SiteFactory, UserFactory
from tests.pages.permission_rows import ROLES, ROWS, Row
from tests.pages.permission_world import (
    address,
    has_its_files,
    looked_up,
    people_build,
    world_standing,
)

# Of the administration its front, its log-in and two pages a model stand for the rest,
# whose right to enter Django derives from the same permissions.
STANDS_FOR_ADMIN = ("index", "login", "_changelist", "_add")
# Answers that let nobody do anything.
REFUSALS = {403, 404, 405}


def names(patterns: list[URLPattern | URLResolver], space: str = "") -> Iterator[str]:
    """Name of every address, with its namespace; an unnamed one shows its route."""
    for pattern in patterns:
        if isinstance(pattern, URLResolver):
            inner = f"{space}{pattern.namespace}:" if pattern.namespace else space
            yield from names(pattern.url_patterns, inner)
        else:
            yield f"{space}{pattern.name or pattern.pattern}"


def known_to_matter(name: str) -> bool:
    return not name.startswith("admin:") or name.endswith(STANDS_FOR_ADMIN)


def addresses() -> set[str]:
    return {
        name for name in names(get_resolver().url_patterns) if known_to_matter(name)
    }


# Rates and price levels are kept once, for all sites.
OF_NO_SITE = ("exchange_rate", "price_level")


def is_of_site(row: Row) -> bool:
    """Whether the address names a row that belongs to a site."""
    parts = row.of.values() if isinstance(row.of, dict) else [row.of]
    return any(
        part and not part.startswith("=") and part not in OF_NO_SITE for part in parts
    )


def answer(response: HttpResponse) -> str:
    return str(response.status_code)


def test_every_address_has_its_line():
    missing = addresses() - {row.name for row in ROWS}
    assert sorted(missing) == [], "add a Row for each to permission_rows.py"


def test_every_line_has_its_address():
    assert {row.name for row in ROWS} - addresses() == set()


def test_no_address_has_two_lines():
    assert len({row.name for row in ROWS}) == len(ROWS)


@pytest.fixture(scope="module")
def everything(django_db_setup, django_db_blocker):
    """The world and its people, made once: every test undoes what it stored."""
    with django_db_blocker.unblock(), world_standing() as world:
        yield world, people_build(world)


@pytest.fixture
def world(everything, db):
    world, _people = everything
    assert has_its_files(world), "an earlier test took away a file of the world"
    return world


@pytest.fixture
def browsers(everything, world):
    """A browser of its own for each test, with the log-in of its person."""
    _world, people = everything
    return {role: browser_again(browser) for role, browser in people.items()}


def browser_again(browser: Client) -> Client:
    again = Client()
    again.cookies.load({name: cookie.value for name, cookie in browser.cookies.items()})
    return again


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.name)
def test_reading(row: Row, world, browsers):
    url = address(row, world)
    given = {role: answer(browsers[role].get(url)) for role in ROLES}
    assert given == dict(zip(ROLES, row.get.split(), strict=True))


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.name)
def test_writing(row: Row, world, browsers):
    url, data, given = address(row, world), looked_up(row.data, world), {}
    for role in ROLES:
        # Each role meets the same rows: what one stored is undone for the next.
        with transaction.atomic():
            response = browsers[role].post(url, data)
            transaction.set_rollback(True)
        given[role] = answer(response)
        if role == "logged out" and row.get.startswith("302"):
            assert "/login/" in response.url
    if row.post:
        assert given == dict(zip(ROLES, row.post.split(), strict=True))
    else:
        taken = {role for role in ROLES[1:] if int(given[role]) not in REFUSALS}
        assert taken == set()


@pytest.fixture
def stranger(world):
    """Somebody with every role, but at another site."""
    user = UserFactory(sees_all_sites=False, is_staff=True)
    user.groups.set(Group.objects.all())
    user.sites.add(SiteFactory())
    return logged_in(user)


@pytest.mark.parametrize(
    "row", [r for r in ROWS if is_of_site(r)], ids=lambda r: r.name
)
def test_no_role_opens_the_rows_of_another_site(row: Row, world, stranger):
    url, data = address(row, world), looked_up(row.data, world)
    assert stranger.get(url).status_code in REFUSALS
    assert stranger.post(url, data).status_code in REFUSALS
