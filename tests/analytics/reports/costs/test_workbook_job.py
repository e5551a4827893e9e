"""A long workbook is made in the background and handed to whoever asked."""

import io

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from openpyxl import load_workbook

from analytics.exports.cost_files import WORKBOOK
from analytics.tasks import (
    WORKBOOK_KIND,
    cost_file_order,
    workbook_make,
    workbook_path,
)
from analytics.views import cost_files
from plant.models import Job
from tests.factories.records import CostLineFactory

pytestmark = pytest.mark.django_db
QUESTION = {"start": "2024-01-01", "end": "2024-12-31"}
ADDRESS = "/costs/workbook/?start=2024-01-01&end=2024-12-31"


@pytest.fixture
def job(manager_client):
    CostLineFactory.create_batch(3)
    answer = manager_client.post(ADDRESS)
    job = Job.objects.get(kind=WORKBOOK_KIND)
    assert answer.url == f"/costs/workbook/{job.pk}/"
    yield job
    default_storage.delete(workbook_path(job))


def test_a_long_workbook_asks_before_it_is_made(manager_client, monkeypatch):
    monkeypatch.setattr(cost_files, "LINES_AT_ONCE", 2)
    CostLineFactory.create_batch(3)
    text = manager_client.get(ADDRESS).content.decode()
    assert "The workbook will cover 3 cost lines." in text
    assert not Job.objects.exists()


def test_the_finished_workbook_holds_the_lines_that_were_asked_for(job, manager_client):
    answer = manager_client.get(f"/costs/workbook/{job.pk}/file/")
    book = load_workbook(io.BytesIO(b"".join(answer.streaming_content)))
    assert book["Cost lines"].max_row == 4


def test_a_file_left_at_the_place_of_the_workbook_is_not_served(
    job, manager, manager_client
):
    """A files folder may be older than the database, and a job may run twice."""
    path = workbook_path(job)
    default_storage.delete(path)
    default_storage.save(path, ContentFile(b"of another database"))
    workbook_make.enqueue(job.pk, manager.pk, QUESTION, "UTC")
    job.refresh_from_db()
    assert job.state == Job.State.DONE
    answer = manager_client.get(f"/costs/workbook/{job.pk}/file/")
    book = load_workbook(io.BytesIO(b"".join(answer.streaming_content)))
    assert book["Cost lines"].max_row == 4
    _, files = default_storage.listdir("exports")
    assert [name for name in files if name.startswith(f"costs-{job.pk}")] == [
        f"costs-{job.pk}.xlsx"
    ]


def test_the_progress_page_offers_the_finished_file(job, manager_client):
    page = manager_client.get(f"/costs/workbook/{job.pk}/").content.decode()
    assert f"/costs/workbook/{job.pk}/file/" in page
    assert 'value="100"' in page


def test_htmx_gets_the_progress_alone(job, manager_client):
    answer = manager_client.get(
        f"/costs/workbook/{job.pk}/", headers={"HX-Request": "true"}
    )
    assert "<html" not in answer.content.decode()


@pytest.mark.parametrize("tail", ["", "file/"])
def test_the_job_of_another_person_is_not_found(job, engineer_client, tail):
    assert engineer_client.get(f"/costs/workbook/{job.pk}/{tail}").status_code == 404


def test_a_workbook_that_fails_says_so(manager, manager_client):
    job = cost_file_order(
        WORKBOOK, by=manager, question=QUESTION | {"by": "colour"}, lines=0
    )
    job.refresh_from_db()
    assert job.state == Job.State.FAILED
    page = manager_client.get(f"/costs/workbook/{job.pk}/").content.decode()
    assert "The workbook could not be made." in page
    assert manager_client.get(f"/costs/workbook/{job.pk}/file/").status_code == 404
