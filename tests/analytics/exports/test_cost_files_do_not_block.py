"""While a long file is written other people write, and its progress is stored."""

import io
from datetime import UTC, datetime
from decimal import Decimal
from threading import Thread

import pytest
from django.db import connection

from analytics.exports import cost_files, cost_lines
from analytics.exports.cost_workbook import lines as workbook_lines
from analytics.forms.costs import CostForm
from plant.models import Job, Site
from tests.analytics.exports.nasty_ledger import QUESTION
from tests.factories.plant import UserFactory
from tests.factories.records import CostLineFactory, RepairFactory

pytestmark = pytest.mark.django_db(transaction=True)
MADE_ON = datetime(2024, 12, 31, 12, tzinfo=UTC)
LINES = 12


def another_person_writes(faults):
    try:
        Site.objects.create(name=f"Written meanwhile {Site.objects.count()}")
    except Exception as fault:
        faults.append(fault)
    finally:
        connection.close()


@pytest.mark.parametrize("file", [cost_files.WORKBOOK, cost_files.LINES])
def test_others_write_at_every_step_and_the_progress_is_stored(file, monkeypatch):
    for module, name in (
        (cost_lines, "CHUNK"),
        (workbook_lines, "STEP"),
        (cost_files, "STEP"),
    ):
        monkeypatch.setattr(module, name, 2)
    repair = RepairFactory()
    CostLineFactory.create_batch(LINES, repair=repair, amount=Decimal(7))
    job = Job.objects.create(kind=file.kind, total=LINES)
    steps, faults = [], []

    def progress(done):
        thread = Thread(target=another_person_writes, args=[faults])
        thread.start()
        thread.join()
        job.done = done
        job.save(update_fields=["done"])
        steps.append(done)

    form = CostForm(QUESTION, user=UserFactory(role="manager"))
    assert form.is_answerable()
    file.write(io.BytesIO(), form.report(), made_on=MADE_ON, progress=progress)
    assert not faults
    assert len(steps) > 3
    job.refresh_from_db()
    assert job.done == steps[-1] == LINES
    assert Site.objects.count() == 1 + len(steps)
