"""Migration operations that only one of the two database engines knows."""

from typing import Any

from django.contrib.postgres.operations import BtreeGistExtension


class BtreeGist(BtreeGistExtension):
    """The extension behind exclusion constraints; inert elsewhere, back as well."""

    def database_backwards(
        self, app_label: str, schema_editor: Any, from_state: Any, to_state: Any
    ) -> None:
        if schema_editor.connection.vendor == "postgresql":
            super().database_backwards(app_label, schema_editor, from_state, to_state)
