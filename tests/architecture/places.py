"""Where the checks of the code's shape look: our own files, nothing installed."""

from collections.abc import Iterator
from pathlib import Path

from django.conf import settings

ROOT = Path(settings.BASE_DIR)
CODE = ("config", "plant", "records", "analytics", "tests", "manage.py")
TEMPLATES = ROOT / "templates"
STATIC = ROOT / "config" / "static"


def python_files() -> Iterator[Path]:
    """Every source and test file; migrations are written by Django."""
    for name in CODE:
        place = ROOT / name
        found = [place] if place.is_file() else sorted(place.rglob("*.py"))
        yield from (file for file in found if "migrations" not in file.parts)


def templates() -> list[Path]:
    return sorted(TEMPLATES.rglob("*.html"))


def static_files(ending: str) -> list[Path]:
    return sorted(STATIC.rglob(f"*{ending}"))


def shown(file: Path) -> str:
    return str(file.relative_to(ROOT))
