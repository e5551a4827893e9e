"""What this computer cannot run is skipped with a reason, or fails if required."""

import subprocess
import sys
from pathlib import Path

import pytest

from tests.plugin_requirements import chromium, missing

ROOT = Path(__file__).resolve().parent.parent
EXAMPLE = """
import pytest

@pytest.mark.browser
def test_browser():
    pass

@pytest.mark.libreoffice
def test_libreoffice():
    pass

@pytest.mark.postgresql
def test_postgresql():
    pass
"""
MARKERS = ("BROWSER", "LIBREOFFICE", "POSTGRESQL")


def example_run(folder, monkeypatch, **environment):
    """A suite of three marked tests, on SQLite and with no program on the path."""
    (folder / "test_example.py").write_text(EXAMPLE)
    monkeypatch.delenv("DATABASE_URL", raising=False)
    monkeypatch.setenv("CHROMIUM", str(folder / "none"))
    monkeypatch.setenv("PATH", str(folder))
    for marker in MARKERS:
        monkeypatch.delenv(f"REQUIRE_{marker}", raising=False)
    for name, value in environment.items():
        monkeypatch.setenv(name, value)
    arguments = ["-rsf", "-p", "tests.plugin_requirements", "-p", "no:cacheprovider"]
    return subprocess.run(
        [sys.executable, "-m", "pytest", *arguments, "-c", "pyproject.toml", folder],
        cwd=ROOT,
        capture_output=True,
        text=True,
    )


def test_what_is_missing_is_skipped_with_its_reason(tmp_path, monkeypatch):
    run = example_run(tmp_path, monkeypatch)
    assert run.returncode == 0, run.stdout
    assert "3 skipped" in run.stdout
    assert "no Chromium found: install one, or name it in CHROMIUM" in run.stdout
    assert "no LibreOffice found: install libreoffice-calc" in run.stdout
    assert "runs on PostgreSQL only: name a server in DATABASE_URL" in run.stdout


@pytest.mark.parametrize("marker", MARKERS)
def test_a_required_skip_is_a_failure(tmp_path, monkeypatch, marker):
    run = example_run(tmp_path, monkeypatch, **{f"REQUIRE_{marker}": "1"})
    assert run.returncode == 1
    assert f"REQUIRE_{marker}=1, but" in run.stdout
    assert "2 skipped, 1 error" in run.stdout


def test_libreoffice_counts_once_it_is_on_the_path(tmp_path, monkeypatch):
    monkeypatch.setenv("PATH", str(tmp_path))
    assert missing("libreoffice") == "no LibreOffice found: install libreoffice-calc"
    (tmp_path / "soffice").touch(mode=0o755)
    assert missing("libreoffice") is None


def test_a_named_browser_counts_only_if_it_is_there(tmp_path, monkeypatch):
    monkeypatch.setenv("CHROMIUM", str(tmp_path / "browser"))
    assert chromium() is None
    (tmp_path / "browser").touch()
    assert chromium() == str(tmp_path / "browser")
