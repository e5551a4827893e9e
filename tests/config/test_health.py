"""The health page, with the database up and down, and the probe that asks it."""

import pytest
from django.db import OperationalError, connection

from config import probe


@pytest.mark.django_db
def test_health_needs_no_log_in_and_names_the_engine(client):
    response = client.get("/health/")
    assert response.status_code == 200
    assert response.json() == {
        "app": "ok",
        "database": "ok",
        "engine": connection.vendor,
    }
    assert "no-store" in response.headers["Cache-Control"]


@pytest.mark.django_db
def test_health_is_503_when_the_database_does_not_answer(client):
    def refuse(execute, sql, params, many, context):
        raise OperationalError("the server closed the connection")

    with connection.execute_wrapper(refuse):
        response = client.get("/health/")
    assert response.status_code == 503
    assert response.json() == {"app": "ok", "database": "not answering"}


@pytest.mark.django_db
def test_health_is_read_only(client):
    assert client.post("/health/").status_code == 405


def test_the_probe_finds_the_running_app(live_server):
    assert probe.health(live_server.url) == "ok"


def test_the_probe_says_why_nobody_answers():
    assert probe.health("127.0.0.1:9").startswith("no answer")


@pytest.mark.parametrize(
    ("hosts", "header"),
    [("", "localhost"), ("*", "localhost"), (".plant.example,b", "plant.example")],
)
def test_the_probe_asks_by_a_host_name_that_is_let_in(monkeypatch, hosts, header):
    monkeypatch.setenv("ALLOWED_HOSTS", hosts)
    assert probe.host_header() == header
