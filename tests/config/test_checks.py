"""A start without collected static files is refused in a sentence."""

from tests.config.running import python_run

CHECK = (
    "import django; django.setup()\n"
    "from django.core.management import call_command\n"
    "call_command('check', deploy=True)"
)
COLLECT = (
    "import django; django.setup()\n"
    "from django.contrib.staticfiles.storage import staticfiles_storage\n"
    "staticfiles_storage.save_manifest()"
)
SENTENCE = "Static files are not collected: run manage.py collectstatic."


def test_the_web_server_does_not_start_without_them(tmp_path):
    run = python_run("import config.wsgi", tmp_path, SECRET_KEY="key")
    assert run.returncode == 1
    assert run.stderr.splitlines() == [f"The logbook cannot start. {SENTENCE}"]


def test_the_check_before_deployment_names_them(tmp_path):
    assert SENTENCE in python_run(CHECK, tmp_path, SECRET_KEY="key").stderr


def test_once_collected_both_are_content(tmp_path):
    assert python_run(COLLECT, tmp_path, SECRET_KEY="key").returncode == 0
    run = python_run("import config.wsgi", tmp_path, SECRET_KEY="key")
    assert (run.returncode, run.stderr) == (0, "")
    assert SENTENCE not in python_run(CHECK, tmp_path, SECRET_KEY="key").stderr
