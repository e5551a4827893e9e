"""Starts a fresh Python with the settings that an environment gives."""

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
CLEARED = ("SECRET_KEY", "DATABASE_URL", "HTTPS_ONLY", "DATA_DIR", "DEBUG")


def python_run(code, data_dir, **environment):
    """Run `code` under config.settings with nothing set but DATA_DIR and these."""
    kept = {name: value for name, value in os.environ.items() if name not in CLEARED}
    return subprocess.run(
        [sys.executable, "-c", code],
        cwd=ROOT,
        env={
            **kept,
            "DJANGO_SETTINGS_MODULE": "config.settings",
            "DATA_DIR": str(data_dir),
            **environment,
        },
        capture_output=True,
        text=True,
        timeout=60,
    )


def settings_read(names, data_dir, **environment):
    """The values of the named settings, as printed by a fresh process."""
    environment = {"SECRET_KEY": "a-key-for-this-test", **environment}
    code = "from django.conf import settings as s\n" + "".join(
        f"print(repr(s.{name}))\n" for name in names
    )
    run = python_run(code, data_dir, **environment)
    assert run.returncode == 0, run.stderr
    return run.stdout.splitlines()
