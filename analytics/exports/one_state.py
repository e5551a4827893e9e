"""Reads a whole file from one state of the records while others go on writing."""

from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, contextmanager
from typing import Any

from django.db import connection, connections, transaction

Aside = Callable[..., None]


@contextmanager
def one_state() -> Iterator[Aside]:
    """All that is read inside is of one moment; nobody is kept from writing.

    What comes back calls a function, with what follows it, at once and through another
    connection: this one only reads. A transaction that is open already, or a database
    in memory, which has no other connection, is left as it is and called in directly.
    """
    with ExitStack() as stack:
        if connection.in_atomic_block or _is_in_memory():
            yield _directly
            return
        worker = stack.enter_context(ThreadPoolExecutor(max_workers=1))
        stack.callback(lambda: worker.submit(connections.close_all).result())
        stack.enter_context(_reading())
        yield lambda call, *given, **named: worker.submit(
            call, *given, **named
        ).result()


def _directly(call: Callable[..., None], *given: Any, **named: Any) -> None:
    call(*given, **named)


def _is_in_memory() -> bool:
    own: Any = connection
    return connection.vendor == "sqlite" and own.is_in_memory_db()


@contextmanager
def _reading() -> Iterator[None]:
    """A transaction that sees the records as its first query finds them."""
    if connection.vendor == "sqlite":
        with _sqlite_reading():
            yield
        return
    with transaction.atomic():
        with connection.cursor() as cursor:
            cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
        yield


@contextmanager
def _sqlite_reading() -> Iterator[None]:
    """As a reader of the write-ahead log, without the lock that transactions take."""
    own: Any = connections[connection.alias]
    usual = own.transaction_mode
    own.transaction_mode = "DEFERRED"
    try:
        with transaction.atomic(), connection.cursor() as cursor:
            own.transaction_mode = usual
            cursor.execute("PRAGMA query_only = ON")
            yield
    finally:
        own.transaction_mode = usual
        if own.connection is not None:
            with connection.cursor() as cursor:
                cursor.execute("PRAGMA query_only = OFF")
