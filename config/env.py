"""Typed reading of settings from the environment, with errors a person can act on.

A variable that is set but empty counts as not set: compose files hand those on.
"""

import os
from pathlib import Path

from django.core.exceptions import ImproperlyConfigured

TRUE_WORDS = {"1", "true", "yes", "on"}
FALSE_WORDS = {"0", "false", "no", "off"}
BASE_DIR = Path(__file__).resolve().parent.parent


def text(name: str, default: str = "") -> str:
    return os.environ.get(name, "").strip() or default


def flag(name: str, default: bool = False) -> bool:
    word = text(name, str(default)).lower()
    if word not in TRUE_WORDS | FALSE_WORDS:
        raise ImproperlyConfigured(f"{name} must be true or false, not {word!r}.")
    return word in TRUE_WORDS


def number(name: str, default: int) -> int:
    word = text(name, str(default))
    if not word.isascii() or not word.isdigit():
        raise ImproperlyConfigured(f"{name} must be a whole number, not {word!r}.")
    return int(word)


def listed(name: str, default: str = "") -> list[str]:
    """Comma-separated values without blanks."""
    return [part.strip() for part in text(name, default).split(",") if part.strip()]


def secret(name: str, default_file: Path) -> str:
    """Value of NAME, else the content of NAME_FILE, else that of `default_file`."""
    if value := text(name):
        return value
    file_name = text(f"{name}_FILE")
    if not file_name and not default_file.exists():
        return ""
    try:
        return Path(file_name or default_file).read_text(encoding="utf-8").strip()
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "it is not UTF-8 text"
        raise ImproperlyConfigured(
            f"{name}_FILE points to {file_name or default_file}, which cannot be "
            f"read: {reason}."
        ) from None


def data_dir() -> Path:
    """Folder of everything that the app itself writes on this computer."""
    return Path(text("DATA_DIR", str(BASE_DIR / ".data")))


def secret_key_file() -> Path:
    """Where the secret key is looked for when nothing names another place."""
    return data_dir() / "secret-key"
