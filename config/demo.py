"""Sets up and serves the demo plant on this computer: key, tables, files, data."""

import os
import secrets
from argparse import ArgumentParser
from io import StringIO

import django
from django.core.management import call_command
from django.db import connections

from config import env, serve


def environment_prepare() -> None:
    """Real settings, but for plain http, which the loopback address needs."""
    os.environ.update(DEBUG="false", HTTPS_ONLY="false")
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")


def secret_key_make() -> None:
    """A key of this computer's own, made once and readable by its owner only."""
    path = env.secret_key_file()
    if path.exists() or env.text("SECRET_KEY") or env.text("SECRET_KEY_FILE"):
        return
    path.parent.mkdir(parents=True, exist_ok=True)
    descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(descriptor, "w", encoding="utf-8") as file:
        file.write(secrets.token_urlsafe(50))


def logins_print() -> None:
    """Nothing to print when the database holds a plant of one's own."""
    lines = StringIO()
    call_command("load_demo", print_logins=True, stdout=lines)
    connections.close_all()
    if lines.getvalue():
        serve.say("Log in as one of these (user name, password, role):")
        serve.say(lines.getvalue().rstrip())


def main(port: int) -> None:
    serve.port_check(port)
    environment_prepare()
    secret_key_make()
    django.setup()
    serve.say("Bringing the database up to date.")
    call_command("migrate", verbosity=0)
    call_command("collectstatic", interactive=False, verbosity=0)
    call_command("load_demo", if_empty=True)
    # Decisions rest on statistics, which the repair log's own command cannot ask.
    call_command("load_demo_actions")
    connections.close_all()
    serve.serve(port, when_up=logins_print)


if __name__ == "__main__":
    parser = ArgumentParser(prog="python -m config.demo", description=__doc__)
    parser.add_argument("--port", type=int, default=8000)
    main(parser.parse_args().port)
