"""Logging in and out, the password change, the throttle and the cookies."""

import os
import subprocess
import sys

import pytest
from django.conf import settings
from django.urls import reverse

from tests.conftest import logged_in
from tests.factories.plant import UserFactory

PASSWORD = "a pump runs well"


@pytest.fixture
def person(db):
    user = UserFactory(username="ada", role="planner")
    user.set_password(PASSWORD)
    user.save()
    return user


def attempt(client, password=PASSWORD, **more):
    return client.post(
        reverse("login"), {"username": "ada", "password": password, **more}
    )


def test_the_right_password_opens_the_fleet(client, person):
    response = attempt(client)
    assert (response.status_code, response.url) == (302, "/")
    assert client.session["_auth_user_id"] == str(person.pk)


def test_a_wrong_password_says_so_and_keeps_the_name(client, person):
    response = attempt(client, "wrong")
    assert response.status_code == 200
    assert "Please enter a correct username and password" in response.text
    assert 'value="ada"' in response.text


def test_every_page_asks_for_the_log_in_and_comes_back(client, person):
    response = client.get("/pumps/?text=P-1")
    assert response.url == "/login/?next=/pumps/%3Ftext%3DP-1"
    assert attempt(client, next="/pumps/?text=P-1").url == "/pumps/?text=P-1"


@pytest.mark.parametrize(
    "foreign", ["https://elsewhere.invalid/", "//elsewhere.invalid/", "javascript:x"]
)
def test_the_log_in_never_leads_to_another_host(client, person, foreign):
    assert attempt(client, next=foreign).url == "/"


def test_an_inactive_person_does_not_get_in(client, person):
    person.is_active = False
    person.save()
    assert attempt(client).status_code == 200
    assert "_auth_user_id" not in client.session


def test_too_many_attempts_are_blocked_even_with_the_right_password(client, person):
    for _ in range(settings.AXES_FAILURE_LIMIT - 1):
        assert attempt(client, "wrong").status_code == 200
    blocked = attempt(client, "wrong")
    assert blocked.status_code == 429
    assert "Too many attempts" in blocked.text
    assert f"{settings.AXES_FAILURE_LIMIT} times" in blocked.text
    assert attempt(client).status_code == 429


def test_the_block_is_for_one_name_from_one_address(client, person):
    for _ in range(settings.AXES_FAILURE_LIMIT):
        attempt(client, "wrong")
    elsewhere = client.post(
        reverse("login"),
        {"username": "ada", "password": PASSWORD},
        REMOTE_ADDR="192.0.2.7",
    )
    assert elsewhere.status_code == 302


def test_the_administration_has_no_log_in_of_its_own(client, person):
    answer = client.post(
        reverse("admin:login"), {"username": "ada", "password": PASSWORD}
    )
    assert answer.status_code == 302
    assert answer.url.startswith(reverse("login"))
    assert "_auth_user_id" not in client.session


def test_success_clears_the_count(client, person):
    for _ in range(settings.AXES_FAILURE_LIMIT - 1):
        attempt(client, "wrong")
    assert attempt(client).status_code == 302
    client.post(reverse("logout"))
    assert attempt(client, "wrong").status_code == 200


def test_logging_out_ends_the_session_and_needs_a_post(person):
    client = logged_in(person)
    assert client.get(reverse("logout")).status_code == 405
    assert client.post(reverse("logout")).url == reverse("login")
    assert client.get("/pumps/").status_code == 302


def change_password(client, old=PASSWORD, new="the seal holds tight"):
    return client.post(
        reverse("password_change"),
        {"old_password": old, "new_password1": new, "new_password2": new},
    )


def test_a_person_changes_the_own_password_and_stays_logged_in(person):
    client, other_device = logged_in(person), logged_in(person)
    assert change_password(client).url == reverse("password_change_done")
    person.refresh_from_db()
    assert person.check_password("the seal holds tight")
    assert client.get(reverse("password_change_done")).status_code == 200
    assert other_device.get("/pumps/").status_code == 302


@pytest.mark.parametrize(
    ("new", "message"),
    [
        ("short", "at least 10 characters"),
        ("password1234", "too common"),
        ("48151623424815", "entirely numeric"),
    ],
)
def test_a_weak_new_password_is_refused(person, new, message):
    response = change_password(logged_in(person), new=new)
    assert message in response.text
    person.refresh_from_db()
    assert person.check_password(PASSWORD)


def test_the_old_password_must_be_known(person):
    response = change_password(logged_in(person), old="guess")
    assert "old password was entered incorrectly" in response.text


DEPLOYED = """
import json
from config import settings as s
names = [
    "DEBUG", "SESSION_COOKIE_SECURE", "CSRF_COOKIE_SECURE", "SESSION_COOKIE_HTTPONLY",
    "SESSION_COOKIE_SAMESITE", "SECURE_SSL_REDIRECT", "SECURE_CONTENT_TYPE_NOSNIFF",
    "X_FRAME_OPTIONS",
]
print(json.dumps({name: getattr(s, name) for name in names}))
print(s.SECURE_HSTS_SECONDS > 0)
"""


def deployed(tmp_path, **environment):
    """Run the real settings as a server would, without what the tests set."""
    kept = {"PATH": os.environ["PATH"], "DATA_DIR": str(tmp_path)}
    return subprocess.run(
        [sys.executable, "-c", DEPLOYED],
        env={**kept, **environment},
        cwd=settings.BASE_DIR,
        capture_output=True,
        text=True,
        check=False,
    )


def test_with_debug_off_cookies_travel_by_https_only(tmp_path):
    run = deployed(tmp_path, SECRET_KEY="x" * 60)
    facts, hsts = run.stdout.splitlines()
    assert '"DEBUG": false' in facts
    for name in (
        "SESSION_COOKIE_SECURE",
        "CSRF_COOKIE_SECURE",
        "SESSION_COOKIE_HTTPONLY",
        "SECURE_SSL_REDIRECT",
        "SECURE_CONTENT_TYPE_NOSNIFF",
    ):
        assert f'"{name}": true' in facts
    assert '"SESSION_COOKIE_SAMESITE": "Lax"' in facts
    assert '"X_FRAME_OPTIONS": "DENY"' in facts
    assert hsts == "True"


def test_with_debug_off_and_no_secret_key_nothing_starts(tmp_path):
    run = deployed(tmp_path)
    assert run.returncode != 0
    assert "No secret key: set SECRET_KEY" in run.stderr


def test_pages_forbid_inline_script_and_framing(planner_client):
    response = planner_client.get("/pumps/")
    policy = response["Content-Security-Policy"]
    assert "script-src 'self'" in policy
    assert "unsafe-inline" not in policy
    assert "frame-ancestors 'none'" in policy
