"""Time to import the web app with all its pages, against bare Django."""

import os
import subprocess
import sys
import tempfile
import time

from tests.config.running import ROOT

REPEATS = 3
BARE = "import django.core.wsgi, django.db.models, django.forms, django.template"
WEB = "import config.wsgi; from django.urls import get_resolver as r; r().url_patterns"
WITH_LIBRARIES = f"{WEB}; import lifelines, reliability.Fitters"


def seconds(code, folder):
    """Shortest of some starts of a fresh Python; the first may read a cold disk."""
    environment = {
        **os.environ,
        "DJANGO_SETTINGS_MODULE": "config.settings",
        "DEBUG": "true",
        "DATA_DIR": folder,
    }
    took = []
    for _ in range(REPEATS):
        started = time.perf_counter()
        command = [sys.executable, "-c", code]
        subprocess.run(command, cwd=ROOT, env=environment, check=True)
        took.append(time.perf_counter() - started)
    return min(took)


def run():
    with tempfile.TemporaryDirectory(prefix="logbook-bench-") as folder:
        bare, web, heavy = (
            seconds(code, folder) for code in (BARE, WEB, WITH_LIBRARIES)
        )
    sys.stdout.write(
        f"start of Python with bare Django {bare:.2f} s, with the web app {web:.2f} s; "
        f"with the fitting libraries as well it would be {heavy:.2f} s\n"
    )
    return [
        ("start of the web app / of bare Django", web / bare),
        ("start with the fitting libraries / of the web app", heavy / web),
    ]
