"""The version that frozen results name is that of the project."""

import tomllib
from pathlib import Path

from plant.version import VERSION

PROJECT = Path(__file__).parents[2] / "pyproject.toml"


def test_both_places_name_one_version():
    assert tomllib.loads(PROJECT.read_text())["project"]["version"] == VERSION
