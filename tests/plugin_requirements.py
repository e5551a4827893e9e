"""Skips what this computer cannot run, or fails where required; keeps workers apart."""

import os
import shutil
from pathlib import Path

import pytest
from django.db import connection
from django.test import override_settings

BROWSERS = ("chromium", "chromium-browser", "google-chrome")


def chromium() -> str | None:
    """The Chromium that CHROMIUM names, else the first one on the path."""
    named = os.environ.get("CHROMIUM")
    if named:
        return named if Path(named).is_file() else None
    return next(filter(None, map(shutil.which, BROWSERS)), None)


def missing(marker: str) -> str | None:
    if marker == "browser" and not chromium():
        return "no Chromium found: install one, or name it in CHROMIUM"
    if marker == "libreoffice" and not shutil.which("soffice"):
        return "no LibreOffice found: install libreoffice-calc"
    if marker == "postgresql" and connection.vendor != "postgresql":
        return "runs on PostgreSQL only: name a server in DATABASE_URL"
    return None


def pytest_runtest_setup(item):
    for marker in ("browser", "libreoffice", "postgresql"):
        if not item.get_closest_marker(marker):
            continue
        reason = missing(marker)
        if reason and os.environ.get(f"REQUIRE_{marker.upper()}") == "1":
            pytest.fail(f"REQUIRE_{marker.upper()}=1, but {reason}", pytrace=False)
        if reason:
            pytest.skip(reason)


@pytest.fixture(scope="session")
def django_db_modify_db_settings(django_db_modify_db_settings_parallel_suffix):
    """On SQLite, tests use a file, as the app does: server threads need it."""
    settings = connection.settings_dict
    if connection.vendor == "sqlite":
        worker = os.environ.get("PYTEST_XDIST_WORKER", "alone")
        folder = Path(settings["NAME"]).parent
        settings["TEST"]["NAME"] = str(folder / f"tests-{worker}.sqlite3")


@pytest.fixture(scope="session", autouse=True)
def files_of_this_worker(tmp_path_factory):
    """Stored files are named by row, and every worker's rows are numbered alike."""
    with override_settings(MEDIA_ROOT=tmp_path_factory.mktemp("files")):
        yield
