"""Test settings: the real ones with a fast hasher and tasks run at once."""

import os
import tempfile
from pathlib import Path

os.environ.setdefault("SECRET_KEY", "only-for-tests")
os.environ.setdefault("HTTPS_ONLY", "false")
os.environ.setdefault("DATA_DIR", str(Path(tempfile.gettempdir(), "logbook-tests")))

from config.settings import *  # noqa: F403

PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
TASKS = {"default": {"BACKEND": "django_tasks.backends.immediate.ImmediateBackend"}}
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}
WHITENOISE_USE_FINDERS = True
WHITENOISE_AUTOREFRESH = True
ALLOWED_HOSTS = ["*"]
