"""The list of files that begin first names files that are there."""

from pathlib import Path

from tests.long_first import LONGEST

ROOT = Path(__file__).resolve().parent.parent.parent


def test_every_long_file_is_there():
    assert [name for name in LONGEST if not (ROOT / name).is_file()] == []
