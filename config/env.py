"""Typed reading of settings from the environment, with errors a person can act on."""

import os
from pathlib import Path

from django.core.exceptions import ImproperlyConfigured

TRUE_WORDS = {"1", "true", "yes", "on"}
FALSE_WORDS = {"0", "false", "no", "off", ""}


def text(name: str, default: str = "") -> str:
    return os.environ.get(name, default).strip()


def flag(name: str, default: bool = False) -> bool:
    word = os.environ.get(name, str(default)).strip().lower()
    if word not in TRUE_WORDS | FALSE_WORDS:
        raise ImproperlyConfigured(f"{name} must be true or false, not {word!r}.")
    return word in TRUE_WORDS


def number(name: str, default: int) -> int:
    word = os.environ.get(name, str(default)).strip()
    try:
        return int(word)
    except ValueError:
        raise ImproperlyConfigured(
            f"{name} must be a whole number, not {word!r}."
        ) from None


def listed(name: str, default: str = "") -> list[str]:
    """Comma-separated values without blanks."""
    return [part.strip() for part in text(name, default).split(",") if part.strip()]


def secret(name: str) -> str:
    """Value of NAME, or the content of the file that NAME_FILE points to."""
    file_name = text(f"{name}_FILE")
    if not file_name:
        return text(name)
    try:
        return Path(file_name).read_text(encoding="utf-8").strip()
    except OSError as error:
        raise ImproperlyConfigured(
            f"{name}_FILE points to {file_name}, which cannot be read: "
            f"{error.strerror}."
        ) from None
