"""Cost files in the background: for whom they are, cut short, asked for twice."""

from datetime import timedelta
from types import SimpleNamespace

import pytest
from django.core.files.storage import default_storage
from django.utils import timezone

from analytics import tasks
from analytics.exports.cost_files import COST_FILES, WORKBOOK
from analytics.exports.cost_jobs import GONE, INTERRUPTED, LONGEST_SILENCE
from plant.models import Job
from tests.conftest import logged_in
from tests.factories.plant import AreaFactory, PositionFactory, SiteFactory, UserFactory
from tests.factories.records import CostLineFactory, RepairFactory

pytestmark = pytest.mark.django_db
MAKE = tasks.workbook_make
QUESTION = {"start": "2023-01-01", "end": "2024-12-31"}
EVERY_FILE = pytest.mark.parametrize("file", COST_FILES.values(), ids=list(COST_FILES))


@pytest.fixture
def sites(db):
    sites = SiteFactory(name="Own works"), SiteFactory(name="Other works")
    for site in sites:
        position = PositionFactory(area=AreaFactory(site=site))
        CostLineFactory(repair=RepairFactory(position=position))
    return sites


@pytest.fixture
def of_two_sites(sites):
    user = UserFactory(role="manager", sees_all_sites=False)
    user.sites.add(*sites)
    return user


@pytest.fixture
def order():
    jobs = []

    def ordered(user, file=WORKBOOK, **asked):
        job = tasks.cost_file_order(file, by=user, question=QUESTION | asked, lines=2)
        jobs.append(job)
        return Job.objects.get(pk=job.pk)

    yield ordered
    for job in jobs:
        default_storage.delete(tasks.workbook_path(job))


@pytest.fixture
def waiting(monkeypatch):
    """Jobs wait for a worker that is not there; what it would be given."""
    given = []
    monkeypatch.setattr(
        tasks,
        "workbook_make",
        SimpleNamespace(enqueue=lambda *what: given.append(what)),
    )
    return given


def page(user, job):
    return logged_in(user).get(f"/costs/workbook/{job.pk}/").content.decode()


def status_of_file(user, job):
    return logged_in(user).get(f"/costs/workbook/{job.pk}/file/").status_code


@EVERY_FILE
def test_a_file_of_a_site_that_was_taken_away_is_refused(
    file, of_two_sites, sites, order
):
    job = order(of_two_sites, file)
    assert job.sites == sorted(site.pk for site in sites)
    assert status_of_file(of_two_sites, job) == 200
    of_two_sites.sites.remove(sites[1])
    assert status_of_file(of_two_sites, job) == 404
    text = page(of_two_sites, job)
    assert GONE in text
    assert f"/costs/workbook/{job.pk}/file/" not in text
    assert f"Make the {file.noun} anew" in text


def test_so_is_one_of_all_sites_when_not_all_are_seen_any_more(sites, order):
    user = UserFactory(role="manager")
    job = order(user)
    assert status_of_file(user, job) == 200
    user.sees_all_sites = False
    user.save()
    assert status_of_file(user, job) == 404


def test_a_file_of_the_sites_that_are_left_stays(of_two_sites, sites, order):
    job = order(of_two_sites, site=str(sites[0].pk))
    of_two_sites.sites.remove(sites[1])
    assert status_of_file(of_two_sites, job) == 200


def test_a_file_whose_sites_are_not_on_record_is_refused(manager, sites, order):
    job = order(manager)
    Job.objects.update(sites=None)
    assert status_of_file(manager, job) == 404


def test_a_site_taken_away_while_the_file_waits_is_said(
    of_two_sites, sites, order, waiting
):
    job = order(of_two_sites, site=str(sites[1].pk))
    of_two_sites.sites.remove(sites[1])
    MAKE.enqueue(*waiting[0])
    text = page(of_two_sites, job)
    assert "The workbook could not be made. What was asked for no longer" in text
    assert "choose a shorter period" not in text
    assert status_of_file(of_two_sites, job) == 404


def test_the_sites_kept_are_those_when_the_file_was_written(
    of_two_sites, sites, order, waiting
):
    job = order(of_two_sites)
    of_two_sites.sites.remove(sites[1])
    MAKE.enqueue(*waiting[0])
    job.refresh_from_db()
    assert job.sites == [sites[0].pk]
    assert status_of_file(of_two_sites, job) == 200


def silent_for(job, span):
    long_ago = timezone.now() - span
    Job.objects.filter(pk=job.pk).update(state=Job.State.RUNNING, changed_at=long_ago)


def test_a_file_whose_worker_died_says_so_and_offers_another(
    manager, sites, order, waiting
):
    job = order(manager)
    silent_for(job, LONGEST_SILENCE - timedelta(minutes=1))
    assert "Writing the costs." in page(manager, job)
    silent_for(job, LONGEST_SILENCE + timedelta(minutes=1))
    text = page(manager, job)
    assert INTERRUPTED in text
    assert "Make the workbook anew" in text
    assert "/costs/workbook/?end=2024-12-31&amp;start=2023-01-01" in text
    assert "hx-trigger" not in text
    assert order(manager) != job


@EVERY_FILE
@pytest.mark.parametrize("state", [Job.State.WAITING, Job.State.RUNNING])
def test_the_same_question_while_its_file_is_under_way_hands_back_its_job(
    file, state, manager, sites, order, waiting
):
    job = order(manager, file)
    Job.objects.update(state=state)
    address = {
        "cost workbook": "/costs/workbook/",
        "cost PDF": "/costs/report.pdf",
        "cost lines": "/costs/lines.csv",
    }[file.kind]
    answer = logged_in(manager).post(f"{address}?end=2024-12-31&start=2023-01-01")
    assert answer.url == f"/costs/workbook/{job.pk}/"
    assert len(waiting) == Job.objects.count() == 1


def test_another_question_person_file_or_a_finished_one_is_another_job(
    manager, engineer, sites, order, waiting
):
    jobs = {order(manager), order(manager, by="site"), order(engineer)}
    jobs |= {order(manager, COST_FILES["cost PDF"])}
    Job.objects.update(state=Job.State.DONE)
    jobs |= {order(manager)}
    SiteFactory()
    jobs |= {order(manager)}
    assert len(jobs) == len(waiting) == 6
