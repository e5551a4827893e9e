"""The one door through which signed rows are changed.

On PostgreSQL triggers refuse every other change; SQLite has no such lock, and there
the services alone hold the rule.
"""

from collections.abc import Iterator
from contextlib import contextmanager

from django.db import connection, transaction


@contextmanager
def correction_door() -> Iterator[None]:
    """Let signed rows be changed inside, within the transaction around it."""
    if connection.vendor != "postgresql":
        yield
        return
    with transaction.atomic():
        _set("on")
        yield
        _set("off")


def _set(value: str) -> None:
    with connection.cursor() as cursor:
        cursor.execute("SELECT set_config('records.correction', %s, true)", [value])
