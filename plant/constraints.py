"""Constraints that only one of the two database engines knows."""

from typing import Any

from django.contrib.postgres.constraints import ExclusionConstraint


class NoOverlap(ExclusionConstraint):
    """An exclusion constraint on PostgreSQL; inert on SQLite.

    There the services hold the same rule, in transactions that take the write
    lock at once.
    """

    def create_sql(self, model: Any, schema_editor: Any) -> Any:
        if schema_editor.connection.vendor != "postgresql":
            return None
        return super().create_sql(model, schema_editor)

    def remove_sql(self, model: Any, schema_editor: Any) -> Any:
        if schema_editor.connection.vendor != "postgresql":
            return None
        return super().remove_sql(model, schema_editor)

    def constraint_sql(self, model: Any, schema_editor: Any) -> Any:
        if schema_editor.connection.vendor != "postgresql":
            return None
        return super().constraint_sql(model, schema_editor)

    def validate(self, *args: Any, **kwargs: Any) -> None:
        """Leave the check to services and database: both word it for the user."""

    def check(self, model: Any, connection: Any) -> list[Any]:
        if connection.vendor != "postgresql":
            return []
        return list(super().check(model, connection))
