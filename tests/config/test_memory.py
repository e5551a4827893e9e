"""What a process that serves pages keeps out of the search for circular garbage."""

import json

from tests.config.running import python_run

START = (
    "import gc, json, django; django.setup()\n"
    "from django.contrib.staticfiles.storage import staticfiles_storage\n"
    "staticfiles_storage.save_manifest()\n"
    "import config.wsgi\n"
    "print(json.dumps([gc.isenabled(), *gc.get_threshold(), gc.get_freeze_count()]))"
)


def test_the_web_server_searches_seldom_and_not_what_it_was_loaded_with(tmp_path):
    run = python_run(START, tmp_path, SECRET_KEY="key")
    assert run.returncode == 0, run.stderr
    *how_often, frozen = json.loads(run.stdout)
    assert how_often == [True, 50_000, 20, 20]
    assert frozen > 50_000
