"""Test settings: the real ones with a fast hasher and tasks run at once."""

import atexit
import os
import shutil
import tempfile

os.environ.setdefault("SECRET_KEY", "only-for-tests")
os.environ.setdefault("HTTPS_ONLY", "false")
if "DATA_DIR" not in os.environ:
    # Workers of one run inherit the folder; its maker removes it at the end.
    os.environ["DATA_DIR"] = tempfile.mkdtemp(prefix="logbook-tests-")
    atexit.register(shutil.rmtree, os.environ["DATA_DIR"], ignore_errors=True)

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
