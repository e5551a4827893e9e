"""Loads the demo plant: `manage.py load_demo [--if-empty] [--end DATE]`.

With `--positions N` it loads a generated fleet of that size instead, for benchmarks.
"""

from argparse import ArgumentParser, ArgumentTypeError
from datetime import date
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from plant.access import shell_user
from plant.models import Site
from records.demo.big_fleet import big_fleet_is_loaded, big_fleet_load
from records.demo.load import DemoRefused, demo_is_loaded, demo_load
from records.demo.people import DEMO_LOGINS

FEWEST_POSITIONS = 10


def fleet_size(typed: str) -> int:
    """Refuses a fleet too small to have peers."""
    size = int(typed)
    if size < FEWEST_POSITIONS:
        raise ArgumentTypeError(f"at least {FEWEST_POSITIONS} positions, please")
    return size


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

        parser.add_argument(
            "--positions",
            type=fleet_size,
            metavar="N",
            help="Load a generated fleet of N positions and ten years, for benchmarks.",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        if options["print_logins"]:
            self.print_logins()
            return
        if options["if_empty"] and Site.objects.exists():
            return
        size, ends_on = options["positions"], options["end"] or timezone.localdate()
        try:
            if size is None:
                self.demo_load(ends_on)
            else:
                self.fleet_load(size, ends_on)
        except DemoRefused as refusal:
            raise CommandError(str(refusal)) from None

    def demo_load(self, ends_on: date) -> None:
        if demo_is_loaded():
            self.stdout.write("The demo plant is already here; nothing was changed.")
            return
        self.stdout.write("Making the demo plant ...")
        history = demo_load(by=shell_user(), ends_on=ends_on)
        self.stdout.write(
            f"Loaded {len(history.spots)} positions, {len(history.ledger.components)} "
            f"fitted lives and {len(history.ledger.repairs.rows)} repairs."
        )

    def fleet_load(self, size: int, ends_on: date) -> None:
        if big_fleet_is_loaded():
            self.stdout.write("A generated fleet is already here; nothing was changed.")
            return
        self.stdout.write(f"Making a fleet of {size:,} positions ...")
        fleet = big_fleet_load(by=shell_user(), positions=size, ends_on=ends_on)
        self.stdout.write(
            f"Loaded {fleet.positions:,} positions, {fleet.lives:,} fitted lives and "
            f"{fleet.repairs:,} repairs. Planted bad actors: "
            f"{', '.join(fleet.bad_tags)}."
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
