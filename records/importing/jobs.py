"""Imports from the page: files kept, then checked and stored in the background."""

import logging
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import asdict
from time import monotonic
from typing import IO, Any

from django.core.exceptions import PermissionDenied, ValidationError
from django.core.files.uploadedfile import UploadedFile
from django.db import OperationalError, models, transaction
from django.utils import timezone

from plant.access import require, sites_visible
from plant.models import Job, Site, User
from records.importing import tables
from records.importing.check import CheckedFleet, check_fleet
from records.importing.fingerprint import fingerprint_of
from records.importing.options import ReadOptions
from records.importing.raw import RawFleet
from records.importing.reading import read_uploads
from records.importing.store import store_fleet
from records.models import FleetImport, FleetImportFile

logger = logging.getLogger(__name__)

KIND = "fleet import"
SECONDS_BETWEEN_UPDATES = 1.0
LONGEST_NAME = 200
UNEXPECTED = (
    "Something went wrong that this program did not expect. Nothing was stored. The "
    "administrator finds the details in the server's log."
)
State = FleetImport.State


def imports_visible(user: User) -> models.QuerySet[FleetImport]:
    """A user's own imports, and those that concern none but the user's sites."""
    rows = FleetImport.objects.select_related("job", "asked_by")
    if user.is_superuser or user.sees_all_sites:
        return rows
    own = sites_visible(user)
    foreign = FleetImport.sites.through.objects.exclude(site__in=own)
    is_within = models.Q(pk__in=_imports_at(own)) & ~models.Q(
        pk__in=foreign.values("fleetimport")
    )
    return rows.filter(models.Q(asked_by=user) | is_within)


def _imports_at(sites: models.QuerySet[Site]) -> models.QuerySet[Any, Any]:
    return FleetImport.sites.through.objects.filter(site__in=sites).values(
        "fleetimport"
    )


@transaction.atomic
def import_keep(
    *, by: User, files: Sequence["UploadedFile[Any]"], options: ReadOptions
) -> FleetImport:
    """Keep the files of a new import; its check is still to be started."""
    require(by, "records.import_fleet")
    names = [(file.name or "file")[-LONGEST_NAME:] for file in files]
    kept = FleetImport.objects.create(
        job=Job.objects.create(kind=KIND, asked_by=by),
        asked_by=by,
        # The names stay when the files go.
        summary={"files": names},
        **asdict(options),
    )
    for name, file in zip(names, files, strict=True):
        FleetImportFile.objects.create(fleet_import=kept, name=name, content=file)
    return kept


@transaction.atomic
def import_confirm(*, by: User, fleet_import: FleetImport) -> None:
    """Move a checked import on to being stored, once.

    Raises
    ------
    ValidationError
        When it is not waiting for that; somebody else may have been quicker.
    """
    require(by, "records.import_fleet")
    waiting = FleetImport.objects.filter(pk=fleet_import.pk, state=State.READY)
    job = Job.objects.create(kind=KIND, asked_by=by)
    if not waiting.update(state=State.STORING, job=job):
        raise ValidationError("This import is not waiting to be stored any more.")
    fleet_import.refresh_from_db()


@transaction.atomic
def import_discard(*, by: User, fleet_import: FleetImport) -> None:
    """Forget an import that was not stored, with its files."""
    require(by, "records.import_fleet")
    is_busy = fleet_import.state in tables.UNDER_WAY
    is_busy = is_busy and not tables.is_interrupted(fleet_import)
    if is_busy or fleet_import.state == State.STORED:
        raise ValidationError("An import that is stored or under way stays.")
    files_delete(fleet_import)
    fleet_import.delete()


def import_check(pk: int) -> None:
    """The background part of a new import."""
    kept = _taken(pk)
    with _Watched(kept) as watched:
        by = _asker(kept.asked_by)
        options = options_of(kept)
        raw = files_read(kept, options)
        checked = check_fleet(raw, options, by=by, progress=watched.progress)
        findings_keep(kept, checked)
        watched.finish(State.FAULTY if checked.fault_count else State.READY)


def import_store(pk: int, user_pk: int) -> None:
    """The background part of a confirmed import: checked again, then stored at once."""
    kept = _taken(pk)
    with _Watched(kept) as watched:
        by = _asker(User.objects.filter(pk=user_pk).first())
        options = options_of(kept)
        raw = files_read(kept, options)
        # Checked outside the transaction: while it lasts, SQLite lets nobody else
        # write.
        before = fingerprint_of(by)
        checked = check_fleet(raw, options, by=by, progress=watched.progress)
        watched.expect(checked.plan.rows_to_write)
        # Nobody sees progress from inside a transaction, and on SQLite a second
        # connection could not write it: the page says so instead.
        with transaction.atomic():
            if fingerprint_of(by) != before:
                checked = check_fleet(raw, options, by=by)
            if not checked.fault_count:
                store_fleet(checked, by=by)
            findings_keep(kept, checked)
            watched.finish(State.FAULTY if checked.fault_count else State.STORED)


def options_of(kept: FleetImport) -> ReadOptions:
    return ReadOptions(kept.separator, kept.decimal, kept.date_order, kept.encoding)


def files_read(kept: FleetImport, options: ReadOptions) -> RawFleet:
    opened: list[tuple[str, IO[bytes]]] = []
    try:
        for file in kept.files.order_by("pk"):
            opened.append((file.name, file.content.open("rb")))
        return read_uploads(opened, options)
    finally:
        for _, content in opened:
            content.close()


def files_delete(kept: FleetImport) -> None:
    """Remove the files once the database agrees that they are not needed."""
    for file in kept.files.all():
        storage, name = file.content.storage, file.content.name
        file.delete()
        transaction.on_commit(lambda s=storage, n=name: s.delete(n))  # type: ignore[misc]


def findings_keep(kept: FleetImport, checked: CheckedFleet) -> None:
    kept.faults = [asdict(fault) for fault in checked.faults]
    kept.fault_count = checked.fault_count
    kept.notes = checked.notes
    tally = checked.report.tally.most_common()
    kept.summary |= {
        "sheets": checked.summary,
        "tally": [[sheet, column, count] for (sheet, column), count in tally],
    }
    kept.save()
    sites = [checked.known.sites[name] for name in checked.plan.sites_concerned]
    kept.sites.set([site for site in sites if site.pk])


def _taken(pk: int) -> FleetImport:
    return FleetImport.objects.select_related("job", "asked_by").get(pk=pk)


def _asker(user: User | None) -> User:
    if user is None or not user.is_active:
        raise PermissionDenied("Whoever asked for this import has no log-in any more.")
    return user


class _Watched:
    """Keeps the job's row up to date; turns every failure into a plain sentence."""

    def __init__(self, kept: FleetImport) -> None:
        self.kept = kept
        self.job = kept.job or Job.objects.create(kind=KIND, asked_by=kept.asked_by)
        self.shown_at = 0.0

    def __enter__(self) -> "_Watched":
        self._job_update(state=Job.State.RUNNING)
        return self

    def progress(self, done: int, total: int, what: str) -> None:
        if monotonic() - self.shown_at < SECONDS_BETWEEN_UPDATES:
            return
        self.shown_at = monotonic()
        # A busy database is no reason to give up: the next update comes soon.
        with suppress(OperationalError):
            self._job_update(done=done, total=total, message=what)

    def expect(self, rows: int) -> None:
        """Say how much is about to be written, before a long silence."""
        with suppress(OperationalError):
            self._job_update(done=0, total=rows, message="Storing")

    def finish(self, state: str) -> None:
        self.kept.state = state
        self.kept.save(update_fields=["state"])
        if state in (State.STORED, State.FAULTY):
            files_delete(self.kept)
        self._job_update(state=Job.State.DONE, message="")

    def __exit__(self, kind: Any, error: BaseException | None, trace: Any) -> bool:
        if error is None:
            return False
        if isinstance(error, ValidationError):
            sentence = " ".join(error.messages)
        elif isinstance(error, PermissionDenied):
            sentence = str(error)
        else:
            logger.error("Import %s failed", self.kept.pk, exc_info=error)
            sentence = UNEXPECTED
        self.kept.state = State.FAILED
        self.kept.save(update_fields=["state"])
        self._job_update(state=Job.State.FAILED, message=sentence)
        return isinstance(error, Exception)

    def _job_update(self, **fields: Any) -> None:
        rows = Job.objects.filter(pk=self.job.pk)
        rows.update(changed_at=timezone.now(), **fields)
