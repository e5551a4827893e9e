"""Imports a fleet from a folder of CSV files or a workbook."""

import sys
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.exceptions import PermissionDenied, ValidationError
from django.core.management.base import BaseCommand, CommandError
from django.db import transaction

from plant.access import shell_user
from plant.models import User
from records.importing.check import CheckedFleet, check_fleet
from records.importing.fingerprint import fingerprint_of
from records.importing.options import (
    DATE_ORDERS,
    DECIMALS,
    SEPARATORS,
    ReadOptions,
)
from records.importing.raw import RawFleet
from records.importing.reading import read_folder, read_workbook
from records.importing.store import store_fleet
from records.management.progress_bar import ProgressBar


class Command(BaseCommand):
    help = "Check a fleet's files and store them, all or nothing."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("path", help="Folder of CSV files, or an .xlsx workbook.")
        parser.add_argument(
            "--dry-run", action="store_true", help="Check only; store nothing."
        )
        parser.add_argument("--separator", default="auto", choices=SEPARATORS)
        parser.add_argument("--decimal", default="auto", choices=DECIMALS)
        parser.add_argument("--date-order", default="iso", choices=DATE_ORDERS)
        parser.add_argument("--encoding", default="utf-8")
        parser.add_argument(
            "--by", metavar="USERNAME", help="Who imports; else the command line."
        )

    def handle(self, *args: Any, **options: Any) -> None:
        by = self._user(options["by"])
        try:
            read_options = ReadOptions(
                separator=options["separator"],
                decimal=options["decimal"],
                date_order=options["date_order"],
                encoding=options["encoding"],
            )
            raw = self._read(Path(options["path"]), read_options)
            checked = self._run(raw, read_options, by, options["dry_run"])
        except ValidationError as refusal:
            raise CommandError(" ".join(refusal.messages)) from None
        except PermissionDenied as refusal:
            raise CommandError(str(refusal)) from None
        self._print(checked)
        if checked.fault_count:
            raise CommandError("Nothing was stored: mend the faults above.")
        stored = "Nothing was stored: dry run." if options["dry_run"] else "Stored."
        self.stdout.write(stored)

    def _user(self, username: str | None) -> User:
        if username is None:
            return shell_user()
        try:
            return User.objects.get(username=username, is_active=True)
        except User.DoesNotExist:
            raise CommandError(f"There is no active user {username}.") from None

    def _read(self, path: Path, options: ReadOptions) -> RawFleet:
        try:
            if path.is_dir():
                return read_folder(path, options)
            if path.suffix.lower() == ".xlsx":
                return read_workbook(path, options)
        except OSError as error:
            raise CommandError(f"{path} cannot be read: {error.strerror}.") from None
        raise CommandError(f"{path} is neither a folder nor an .xlsx workbook.")

    def _run(
        self, raw: RawFleet, options: ReadOptions, by: User, dry_run: bool
    ) -> CheckedFleet:
        bar = ProgressBar(sys.stderr)
        # Checked outside the transaction: while it lasts, SQLite lets nobody else
        # write. What changed in between is checked again.
        before = fingerprint_of(by)
        checked = check_fleet(raw, options, by=by, progress=bar.show)
        if not checked.fault_count and not dry_run:
            with transaction.atomic():
                if fingerprint_of(by) != before:
                    checked = check_fleet(raw, options, by=by, progress=bar.show)
                if not checked.fault_count:
                    store_fleet(checked, by=by, progress=bar.show)
        bar.clear()
        return checked

    def _print(self, checked: CheckedFleet) -> None:
        for sheet, counts in checked.summary.items():
            # Rows behind a fault are not compared: their counts would mislead.
            parts = "not counted because of faults"
            if not checked.fault_count:
                outcomes = ("new", "changed", "unchanged")
                parts = ", ".join(f"{counts[name]} {name}" for name in outcomes)
            self.stdout.write(f"{sheet}: {counts['rows']} rows, {parts}")
        for note in checked.notes:
            self.stdout.write(f"Note. {note}")
        for fault in checked.faults:
            place = " ".join(
                part
                for part in (
                    fault.sheet,
                    f"row {fault.row}" if fault.row else "",
                    fault.column,
                )
                if part
            )
            value = f" {fault.value!r}" if fault.value else ""
            self.stderr.write(f"{place}:{value} {fault.right}")
        rest = checked.fault_count - len(checked.faults)
        if rest > 0:
            self.stderr.write(f"and {rest} more faults.")
