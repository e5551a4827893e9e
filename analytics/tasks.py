"""Cost files that take too long for a page, made in the background."""

import logging
from datetime import timedelta
from tempfile import TemporaryFile
from typing import Any
from zoneinfo import ZoneInfo

from django.core.exceptions import PermissionDenied
from django.core.files import File
from django.core.files.storage import default_storage
from django.db import transaction
from django.utils import timezone
from django_tasks import task

from analytics.exports.cost_files import COST_FILES, PDF, WORKBOOK, CostFile
from analytics.exports.cost_jobs import job_under_way
from analytics.exports.one_state import one_state
from analytics.forms.costs import CostForm
from plant.models import Job, User

logger = logging.getLogger(__name__)

WORKBOOK_KIND = WORKBOOK.kind
PDF_KIND = PDF.kind
KEPT_DAYS = 7
TRY_AGAIN = "Try again, or choose a shorter period."
NO_LONGER = (
    "What was asked for no longer holds: it names, for instance, a site that is no "
    "longer one of yours. Ask anew on the Costs page."
)


def workbook_path(job: Job) -> str:
    """Where the finished file of a job lies in the file storage."""
    return f"exports/costs-{job.pk}.{COST_FILES[job.kind].ending}"


class QuestionNoLongerHoldsError(ValueError):
    """Since the file was asked for, a site, a right or a rate went away."""


def cost_file_order(
    file: CostFile, *, by: User, question: dict[str, Any], lines: int
) -> Job:
    """Start a file for `by`; `question` is what the Costs page was asked.

    The same question of the same sites, asked again while its file waits or is being
    written, hands back that job.
    """
    _forget_old()
    # Databases that keep it as text compare it as text.
    question = dict(sorted(question.items()))
    form = CostForm(question, user=by)
    sites = _sites(form) if form.is_answerable() else []
    with transaction.atomic():
        # So that two presses of the button find one another.
        User.objects.select_for_update().get(pk=by.pk)
        job = job_under_way(file, by=by, question=question, sites=sites)
        if job is not None:
            return job
        job = Job.objects.create(
            kind=file.kind, asked_by=by, total=lines, question=question, sites=sites
        )
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
    fault = f"The {COST_FILES[job.kind].noun} could not be made."
    try:
        with timezone.override(ZoneInfo(zone)):
            _make(job, user_pk, question)
    except (QuestionNoLongerHoldsError, PermissionDenied) as reason:
        logger.info("File of job %s, %s, was refused: %s", job_pk, job.kind, reason)
        _move(job, state=Job.State.FAILED, message=f"{fault} {NO_LONGER}")
    except Exception:
        logger.exception("File of job %s, %s, failed", job_pk, job.kind)
        _move(job, state=Job.State.FAILED, message=f"{fault} {TRY_AGAIN}")
    else:
        _move(job, state=Job.State.DONE)


def _make(job: Job, user_pk: int, question: dict[str, Any]) -> None:
    """Read in one state of the records; nobody waits, and progress is seen at once."""
    with TemporaryFile() as content:
        with one_state() as aside:
            form = CostForm(question, user=User.objects.get(pk=user_pk))
            if not form.is_answerable():
                raise QuestionNoLongerHoldsError(form.errors.as_json())
            aside(_move, job, sites=_sites(form))
            COST_FILES[job.kind].write(
                content,
                form.report(),
                made_on=timezone.localtime(),
                progress=lambda done: aside(_move, job, done=done),
            )
        content.seek(0)
        _store(workbook_path(job), File(content))


def _sites(form: CostForm) -> list[int]:
    return sorted(site.pk for site in form.scope().sites)


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
