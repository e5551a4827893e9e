"""The log-in page in a real browser: the way in, the refusal, the way out."""

import pytest

from tests.factories.plant import UserFactory

pytestmark = pytest.mark.browser


def log_in(page, username, password):
    page.goto("/login/?next=/password/")
    page.get_by_label("Username").fill(username)
    page.get_by_label("Password").fill(password)
    page.get_by_role("button", name="Log in").click()


def test_a_person_logs_in_and_out(page, transactional_db):
    user = UserFactory(username="jo", first_name="Jo", last_name="Sample")
    user.set_password("a long enough one")
    user.save()
    log_in(page, "jo", "a long enough one")
    page.get_by_text("Jo Sample").wait_for()
    page.get_by_role("button", name="Log out").click()
    page.get_by_role("heading", name="Log in").wait_for()


def test_a_wrong_password_is_refused_in_words(page, transactional_db):
    UserFactory(username="jo")
    log_in(page, "jo", "not the one")
    assert "correct username and password" in page.get_by_role("main").inner_text()
