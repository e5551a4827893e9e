"""What must be true of this computer before the logbook serves a page."""

from typing import Any

from django.contrib.staticfiles.storage import staticfiles_storage
from django.core.checks import CheckMessage, Error

NOT_COLLECTED = "Static files are not collected: run manage.py collectstatic."


def static_files_check(**_options: Any) -> list[CheckMessage]:
    """Refuse to serve pages whose style sheets have no collected file."""
    manifest_read = getattr(staticfiles_storage, "read_manifest", None)
    if manifest_read is None or manifest_read() is not None:
        return []
    return [Error(NOT_COLLECTED, id="config.E001")]
