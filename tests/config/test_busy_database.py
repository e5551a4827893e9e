"""A locked database answers with a sentence and keeps what was typed."""

import pytest
from django.db import OperationalError, connection
from django.test import RequestFactory

from config.busy_database import SENTENCE, BusyDatabaseMiddleware
from tests.factories.plant import UserFactory

LOCKED = OperationalError("database is locked")


def answer(request, error=LOCKED):
    request.user = UserFactory()
    middleware = BusyDatabaseMiddleware(lambda request: None)
    return middleware.process_exception(request, error)


@pytest.fixture
def only_sqlite(db):
    if connection.vendor != "sqlite":
        pytest.skip("PostgreSQL never locks the whole database.")


def test_a_form_can_be_sent_again_with_all_that_was_typed(only_sqlite):
    typed = {"text": "Faces <cracked>", "also_renewed": ["oil", "gasket"]}
    response = answer(RequestFactory().post("/repairs/new/?position=3", typed))
    page = response.content.decode()
    assert response.status_code == 503
    assert response["Retry-After"]
    assert SENTENCE in page
    assert 'action="/repairs/new/?position=3"' in page
    assert 'name="text" value="Faces &lt;cracked&gt;"' in page
    assert page.count('name="also_renewed"') == 2


def test_a_page_that_was_only_asked_for_offers_a_link(only_sqlite):
    page = answer(RequestFactory().get("/repairs/")).content.decode()
    assert '<a href="/repairs/">Try again</a>' in page


def test_a_program_gets_json(only_sqlite):
    request = RequestFactory().post("/x/", "{}", content_type="application/json")
    response = answer(request)
    assert response.status_code == 503
    assert response["Content-Type"] == "application/json"


def test_another_fault_of_the_database_passes_on(only_sqlite):
    other = OperationalError("disk is full")
    assert answer(RequestFactory().get("/repairs/"), other) is None
