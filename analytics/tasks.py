"""Cost files that take too long for a page, made in the background."""

import logging
from datetime import timedelta
from tempfile import TemporaryFile
from typing import Any
from zoneinfo import ZoneInfo

from django.core.files import File
from django.core.files.storage import default_storage
from django.utils import timezone
from django_tasks import task

from analytics.exports.cost_files import COST_FILES, PDF, WORKBOOK, CostFile
from analytics.forms.costs import CostForm
from plant.models import Job, User

logger = logging.getLogger(__name__)

WORKBOOK_KIND = WORKBOOK.kind
PDF_KIND = PDF.kind
KEPT_DAYS = 7


def workbook_path(job: Job) -> str:
    """Where the finished file of a job lies in the file storage."""
    return f"exports/costs-{job.pk}.{COST_FILES[job.kind].ending}"


def cost_file_order(
    file: CostFile, *, by: User, question: dict[str, Any], lines: int
) -> Job:
    """Start a file for `by`; `question` is what the Costs page was asked."""
    _forget_old()
    job = Job.objects.create(kind=file.kind, asked_by=by, total=lines)
    # The worker has no request that would tell it the zone of the user.
    zone = timezone.get_current_timezone_name()
    workbook_make.enqueue(job.pk, by.pk, question, zone)
    return job


@task()
def workbook_make(
    job_pk: int, user_pk: int, question: dict[str, Any], zone: str
) -> None:
    job = Job.objects.get(pk=job_pk)
    _move(job, state=Job.State.RUNNING)
    noun = COST_FILES[job.kind].noun
    try:
        with timezone.override(ZoneInfo(zone)):
            _make(job, User.objects.get(pk=user_pk), question)
    except Exception:
        logger.exception("File of job %s, %s, failed", job_pk, job.kind)
        _move(
            job,
            state=Job.State.FAILED,
            message=f"The {noun} could not be made. Try again, or choose a shorter "
            "period.",
        )
        return
    _move(job, state=Job.State.DONE)


def _make(job: Job, user: User, question: dict[str, Any]) -> None:
    """Each query and each step of progress by itself: nobody waits for the whole."""
    form = CostForm(question, user=user)
    if not form.is_answerable():
        raise ValueError(f"The question no longer holds: {form.errors.as_json()}")
    with TemporaryFile() as content:
        COST_FILES[job.kind].write(
            content,
            form.report(),
            made_on=timezone.localtime(),
            progress=lambda done: _move(job, done=done),
        )
        content.seek(0)
        _store(workbook_path(job), File(content))


def _store(path: str, content: File[bytes]) -> None:
    """Put `content` at `path`, in place of what an earlier try or database left.

    The storage would otherwise keep the old file and choose another name.
    """
    default_storage.delete(path)
    stored = default_storage.save(path, content)
    if stored != path:
        default_storage.delete(stored)
        raise FileExistsError(f"Another file was stored at {path} in the meantime.")


def _move(job: Job, **changes: object) -> None:
    for name, value in changes.items():
        setattr(job, name, value)
    job.save(update_fields=[*changes, "changed_at"])


def _forget_old() -> None:
    """Files are for taking away, not for keeping."""
    limit = timezone.now() - timedelta(days=KEPT_DAYS)
    for job in Job.objects.filter(kind__in=COST_FILES, asked_at__lt=limit):
        default_storage.delete(workbook_path(job))
        job.delete()
