"""The demo plant, made once by each worker and from then on copied.

The command takes seconds, a copy a fraction of one. A copy holds every row that the
command made, value for value; `tests/records/demo/` tests the command itself.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from typing import Any

import pytest
from django.apps import apps
from django.contrib.auth.models import Group
from django.core.management import call_command
from django.core.management.color import no_style
from django.db import connection, transaction
from django.db.models import Model

from analytics.demo import demo_actions_load
from plant.models import User
from records.services.correction_door import correction_door

END = date(2026, 11, 25)
OUR_APPS = ("plant", "records", "analytics")
KEPT: dict[tuple[date, bool], "Copy"] = {}


@pytest.fixture(scope="module")
def demo(django_db_setup, django_db_blocker):
    """The demo plant up to END, for all tests of a module."""
    with django_db_blocker.unblock(), demo_standing():
        yield


@pytest.fixture(scope="module")
def demo_with_actions(django_db_setup, django_db_blocker):
    """The same with its decisions, each judged as of END."""
    with django_db_blocker.unblock(), demo_standing(has_actions=True):
        yield


@contextmanager
def demo_standing(*, has_actions: bool = False) -> Iterator[None]:
    with transaction.atomic():
        demo_put(has_actions=has_actions)
        # Else PostgreSQL asks once more about each row at the end of every test.
        connection.check_constraints()
        yield
        transaction.set_rollback(True)


def demo_put(*, end: date = END, has_actions: bool = False) -> None:
    """Store the demo in empty tables, as its commands leave it."""
    asked = (end, has_actions)
    if asked in KEPT:
        KEPT[asked].put()
        return
    if has_actions:
        demo_put(end=end)
        demo_actions_load(today=end)
    else:
        call_command("load_demo", end=end, verbosity=0)
    KEPT[asked] = Copy()


def tables() -> dict[str, type[Model]]:
    """Model by table. Groups are made by migrating, so that their numbers vary."""
    return {
        model._meta.db_table: model
        for label in OUR_APPS
        for model in apps.get_app_config(label).get_models(include_auto_created=True)
        if model is not User.groups.through and not model._meta.proxy
    }


class Copy:
    """All rows of our tables as the database stores them."""

    def __init__(self) -> None:
        self.rows = {name: rows_taken(name) for name in tables()}
        self.roles = [*User.groups.through.objects.values_list("user", "group__name")]

    def put(self) -> None:
        # Signed repairs come with what was taken out and fitted.
        with correction_door():
            for name, rows in self.rows.items():
                rows_put(name, rows)
        groups = {group.name: group for group in Group.objects.all()}
        User.groups.through.objects.bulk_create(
            User.groups.through(user_id=user, group=groups[name])
            for user, name in self.roles
        )
        with connection.cursor() as cursor:
            for statement in connection.ops.sequence_reset_sql(
                no_style(), [*tables().values()]
            ):
                cursor.execute(statement)


def columns(table: str) -> list[str]:
    names = [field.column for field in tables()[table]._meta.local_concrete_fields]
    return [connection.ops.quote_name(name) for name in names]


def rows_taken(table: str) -> Any:
    """Rows of a table, by their number, in the form that `rows_put` takes."""
    # On SQLite a bare column would become a Python value; a sum stays as stored.
    is_postgresql = connection.vendor == "postgresql"
    names = ", ".join(f"{'' if is_postgresql else '+'}{n}" for n in columns(table))
    by_number = connection.ops.quote_name(tables()[table]._meta.pk.column)
    asked = f"SELECT {names} FROM {table} ORDER BY {by_number}"
    with connection.cursor() as cursor:
        if not is_postgresql:
            return cursor.execute(asked).fetchall()
        with cursor.copy(f"COPY ({asked}) TO STDOUT (FORMAT BINARY)") as sent:
            return b"".join(sent)


def rows_put(table: str, rows: Any) -> None:
    names = ", ".join(columns(table))
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            asked = f"COPY {table} ({names}) FROM STDIN (FORMAT BINARY)"
            with cursor.copy(asked) as sent:
                sent.write(rows)
            return
        places = ", ".join(["%s"] * len(columns(table)))
        cursor.executemany(f"INSERT INTO {table} ({names}) VALUES ({places})", rows)
