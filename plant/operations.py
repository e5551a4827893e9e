"""Migration operations that only one of the two database engines knows."""

from typing import Any

from django.contrib.postgres.operations import BtreeGistExtension
from django.db.migrations import RunPython


class BtreeGist(BtreeGistExtension):
    """The extension behind exclusion constraints; inert elsewhere, back as well."""

    def database_backwards(
        self, app_label: str, schema_editor: Any, from_state: Any, to_state: Any
    ) -> None:
        if schema_editor.connection.vendor == "postgresql":
            super().database_backwards(app_label, schema_editor, from_state, to_state)


def run_on_postgresql(forward: str, backward: str) -> RunPython:
    """SQL in both directions, triggers for instance; nothing happens elsewhere."""
    return RunPython(_on_postgresql(forward), _on_postgresql(backward))


def _on_postgresql(sql: str) -> Any:
    def run(apps: Any, schema_editor: Any) -> None:
        if schema_editor.connection.vendor == "postgresql":
            schema_editor.execute(sql)

    return run
