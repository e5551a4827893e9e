"""Loads the demo plant: `manage.py load_demo [--if-empty] [--end DATE]`."""

from argparse import ArgumentParser
from datetime import date
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from plant.access import shell_user
from plant.models import Site
from records.demo.load import DemoRefused, demo_is_loaded, demo_load
from records.demo.people import DEMO_LOGINS


class Command(BaseCommand):
    help = "Load an invented works with six years of history into an empty database."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "--if-empty", action="store_true", help="Do nothing when a site exists."
        )
        parser.add_argument(
            "--end", type=date.fromisoformat, help="Last day of the history (ISO)."
        )
        parser.add_argument(
            "--print-logins", action="store_true", help="Only list the demo's log-ins."
        )

    def handle(self, *args: Any, **options: Any) -> None:
        if options["print_logins"]:
            self.print_logins()
            return
        if options["if_empty"] and Site.objects.exists():
            return
        try:
            loaded = demo_is_loaded()
        except DemoRefused as refusal:
            raise CommandError(str(refusal)) from None
        if loaded:
            self.stdout.write("The demo plant is already here; nothing was changed.")
            return
        self.stdout.write("Making the demo plant ...")
        history = demo_load(
            by=shell_user(), ends_on=options["end"] or timezone.localdate()
        )
        self.stdout.write(
            f"Loaded {len(history.spots)} positions, {len(history.ledger.components)} "
            f"fitted lives and {len(history.ledger.repairs.rows)} repairs."
        )

    def print_logins(self) -> None:
        """The log-ins, only when the demo is what this database holds."""
        try:
            if not demo_is_loaded():
                return
        except DemoRefused:
            return
        for login in DEMO_LOGINS:
            self.stdout.write(f"{login.username:15} {login.password:22} {login.role}")
