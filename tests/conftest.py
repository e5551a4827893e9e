"""Fixtures that every test may use."""

import pytest
from django.test import Client

from tests.factories.plant import UserFactory

pytest_plugins = [
    "tests.plugin_requirements",
    "tests.browser_support",
    "tests.demo_plant",
    "tests.long_first",
]


def logged_in(user) -> Client:
    client = Client()
    client.force_login(user, backend="django.contrib.auth.backends.ModelBackend")
    return client


@pytest.fixture
def planner(db):
    return UserFactory(username="planner", role="planner")


@pytest.fixture
def engineer(db):
    return UserFactory(username="engineer", role="reliability engineer")


@pytest.fixture
def manager(db):
    return UserFactory(username="manager", role="manager")


@pytest.fixture
def administrator(db):
    return UserFactory(username="administrator", role="administrator", is_staff=True)


@pytest.fixture
def planner_client(planner):
    return logged_in(planner)


@pytest.fixture
def engineer_client(engineer):
    return logged_in(engineer)


@pytest.fixture
def manager_client(manager):
    return logged_in(manager)


@pytest.fixture
def administrator_client(administrator):
    return logged_in(administrator)
