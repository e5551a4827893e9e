"""Cost files in the background: whose they are and how they stand."""

from collections.abc import Mapping
from datetime import timedelta

from django.db.models import QuerySet
from django.utils import timezone

from analytics.exports.cost_files import COST_FILES, CostFile
from plant.access import sites_visible
from plant.models import Job, User

# The longest step without a word, at 10,000 positions, takes under two minutes.
LONGEST_SILENCE = timedelta(minutes=10)
GONE = (
    "A site that this file tells of is no longer one of yours, or its sites are not on "
    "record; make it anew."
)
INTERRUPTED = "It was interrupted; make it anew."
SENTENCES = {
    Job.State.WAITING: "Waiting for its turn.",
    Job.State.RUNNING: "Writing the costs.",
    Job.State.DONE: "Ready.",
}


def site_keys(user: User) -> set[int]:
    return set(sites_visible(user).values_list("pk", flat=True))


def is_for(job: Job, user: User) -> bool:
    """Whether every site that the file tells of is, still, one of the user's."""
    return job.sites is not None and site_keys(user).issuperset(job.sites)


def is_interrupted(job: Job) -> bool:
    """Whether its worker began it and nothing was heard of it for long."""
    silence = timezone.now() - job.changed_at
    return job.state == Job.State.RUNNING and silence > LONGEST_SILENCE


def is_ready_for(job: Job, user: User) -> bool:
    return job.state == Job.State.DONE and is_for(job, user)


def sentence_of(job: Job, user: User) -> str:
    """How the file stands, for the one who asked for it."""
    if is_interrupted(job):
        return INTERRUPTED
    if job.state == Job.State.DONE and not is_for(job, user):
        return GONE
    return SENTENCES.get(Job.State(job.state), job.message)


def job_under_way(
    file: CostFile, *, by: User, question: Mapping[str, str], sites: list[int]
) -> Job | None:
    """The job that will answer the same question of the same sites anyhow."""
    under_way = Job.objects.filter(
        kind=file.kind,
        asked_by=by,
        question=question,
        sites=sites,
        state__in=(Job.State.WAITING, Job.State.RUNNING),
    )
    return next((job for job in under_way if not is_interrupted(job)), None)


def own_jobs(user: User) -> QuerySet[Job]:
    return Job.objects.filter(kind__in=COST_FILES, asked_by=user)
