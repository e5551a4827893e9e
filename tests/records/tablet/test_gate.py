"""Tablets get JSON, whoever asks and whatever they send; never a page."""

import json
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from records.models import Repair, TabletEntry
from tests.conftest import logged_in
from tests.factories.plant import SiteFactory, UserFactory
from tests.records.tablet.payloads import seal_swap, send

READ = ["records:tablet_register", "records:tablet_token"]


@pytest.mark.parametrize("name", READ)
def test_logged_out_is_said_in_json(client, db, name):
    answer = client.get(reverse(name))
    assert answer.status_code == 401
    assert "Log in again" in answer.json()["error"]


def test_an_expired_session_stores_nothing(client, fitter, here):
    assert send(client, seal_swap(here, fitter)).status_code == 401
    photo = client.post(reverse("records:tablet_photos"), {"key": uuid4()})
    assert photo.status_code == 401
    state = client.get(reverse("records:tablet_entry", args=[uuid4()]))
    assert state.status_code == 401
    assert TabletEntry.objects.count() == 0


@pytest.mark.parametrize("name", READ)
def test_who_logs_no_repairs_gets_no_register(manager_client, name):
    assert manager_client.get(reverse(name)).status_code == 403


def test_a_token_of_an_earlier_log_in_is_refused_in_json(fitter, here):
    browser = Client(enforce_csrf_checks=True)
    browser.force_login(fitter, "django.contrib.auth.backends.ModelBackend")
    payload = seal_swap(here, fitter)
    refused = send(browser, payload)
    assert refused.status_code == 403
    assert "token" in refused.json()["error"]
    fresh = browser.get(reverse("records:tablet_token")).json()
    assert fresh["user_id"] == fitter.pk
    assert send(browser, payload, HTTP_X_CSRFTOKEN="x" * 64).status_code == 403
    stored = send(browser, payload, HTTP_X_CSRFTOKEN=fresh["token"])
    assert stored.status_code == 201


def test_a_draft_of_the_user_before_is_refused(planner_client, fitter, here):
    answer = send(planner_client, seal_swap(here, fitter))
    assert answer.status_code == 403
    assert "somebody else" in answer.json()["error"]


def test_a_position_of_another_site_is_refused(here):
    stranger = UserFactory(role="fitter", sees_all_sites=False)
    stranger.sites.add(SiteFactory())
    answer = send(logged_in(stranger), seal_swap(here, stranger))
    assert answer.status_code == 403
    assert Repair.objects.count() == 0


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"not json",
        b"[]",
        b'{"key": NaN}',
        b'{"key": 1e999}',
        b'{"key": "7"}',
        b'{"key": "\\ud800"}',
        b'{"key": "\\u0000"}',
        b"[" * 100_000,
    ],
)
def test_what_is_no_entry_is_answered_in_json(fitter_client, body):
    url = reverse("records:tablet_entries")
    answer = fitter_client.post(url, body, content_type="application/json")
    assert answer.status_code == 400
    assert answer.json()["error"]


def test_a_form_is_no_entry(fitter_client):
    answer = fitter_client.post(reverse("records:tablet_entries"), {"key": "7"})
    assert answer.status_code == 400
    assert answer.json()["error"]


def test_a_body_too_large_is_refused_before_it_is_read(fitter_client, fitter, here):
    answer = send(fitter_client, seal_swap(here, fitter, text="x" * 300_000))
    assert answer.status_code == 413
    assert answer.json()["error"]


def test_nothing_is_kept_by_caches(fitter_client):
    answer = fitter_client.get(reverse("records:tablet_token"))
    assert "no-store" in answer["Cache-Control"]


def test_a_key_of_another_form_than_text_is_no_key(fitter_client, fitter, here):
    payload = seal_swap(here, fitter, key={"a": 1})
    url = reverse("records:tablet_entries")
    answer = fitter_client.post(
        url, json.dumps(payload), content_type="application/json"
    )
    assert answer.status_code == 400
