"""A file written while somebody logs is of one moment, and holds nobody up."""

import io
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from decimal import Decimal

import pytest
from django.core.files.storage import default_storage
from django.db import DatabaseError, connection, connections
from openpyxl import load_workbook

from analytics import tasks
from analytics.exports import cost_files, cost_lines
from analytics.exports.cost_workbook import lines as workbook_lines
from analytics.exports.cost_workbook.notes import CHANGED
from analytics.exports.one_state import one_state
from plant.models import Job, Site
from records.models import CostLine
from tests.conftest import logged_in
from tests.factories.plant import SiteFactory, UserFactory
from tests.factories.records import CostLineFactory, RepairFactory

pytestmark = pytest.mark.django_db(transaction=True)
QUESTION = {"start": "2023-01-01", "end": "2024-12-31"}
LINES = 12


@pytest.fixture
def several_connections(db, tmp_path):
    """On SQLite a copy of the tables in a file; one in memory has no other reader."""
    if connection.vendor != "sqlite":
        yield
        return
    kept = connections["default"]
    kept.ensure_connection()
    settings = connections.settings["default"]
    name = settings["NAME"]
    settings["NAME"] = str(tmp_path / "logbook.sqlite3")
    connections["default"] = connections.create_connection("default")
    connections["default"].ensure_connection()
    kept.connection.backup(connections["default"].connection)
    yield
    connections["default"].close()
    settings["NAME"] = name
    connections["default"] = kept


@pytest.fixture
def small_steps(monkeypatch):
    for module, step in (
        (cost_lines, "CHUNK"),
        (workbook_lines, "STEP"),
        (cost_files, "STEP"),
    ):
        monkeypatch.setattr(module, step, 2)


@pytest.fixture
def somebody_logs(monkeypatch, small_steps):
    """At each step of progress another line comes in, for an early and a late event."""
    early = RepairFactory(reported_at=datetime(2024, 1, 1, 8, tzinfo=UTC))
    late = RepairFactory(reported_at=datetime(2024, 6, 1, 8, tzinfo=UTC))
    for repair in (early, late):
        CostLineFactory.create_batch(LINES // 2, repair=repair, amount=Decimal(7))
    steps = []
    move = tasks._move

    def move_and_log(job, **changes):
        move(job, **changes)
        if "done" in changes:
            steps.append(Job.objects.get(pk=job.pk).done)
            for repair in (early, late):
                CostLineFactory(repair=repair, amount=Decimal(100))

    monkeypatch.setattr(tasks, "_move", move_and_log)
    return steps


def file_of(file, manager):
    job = tasks.cost_file_order(file, by=manager, question=QUESTION, lines=LINES)
    answer = logged_in(manager).get(f"/costs/workbook/{job.pk}/file/")
    content = b"".join(answer.streaming_content)
    default_storage.delete(tasks.workbook_path(job))
    return content


def test_a_workbook_agrees_with_itself(several_connections, somebody_logs):
    manager = UserFactory(role="manager")
    content = file_of(cost_files.WORKBOOK, manager)
    values = load_workbook(io.BytesIO(content), data_only=True)
    assert CostLine.objects.count() == LINES + 2 * len(somebody_logs)
    assert somebody_logs[-1] == LINES
    assert len(somebody_logs) > 3
    assert values["Cost lines"].max_row == 1 + LINES
    rows = list(values["By site"].iter_rows(values_only=True))
    total, of_lines, difference = (row[2:] for row in rows[-3:])
    assert total == of_lines
    assert sum(total) == 7 * LINES
    assert set(difference) == {0}
    notes = [row[1] for row in values["Notes"].iter_rows(values_only=True)]
    assert CHANGED not in notes


def test_the_list_of_lines_is_of_one_moment(several_connections, somebody_logs):
    content = file_of(cost_files.LINES, UserFactory(role="manager"))
    assert len(content.decode().splitlines()) == 1 + LINES
    assert CostLine.objects.count() == LINES + 2 * len(somebody_logs)


def test_nothing_is_written_by_the_one_who_reads(several_connections):
    SiteFactory()
    with pytest.raises(DatabaseError), one_state():
        Site.objects.update(name="Written by who reads")
    assert not Site.objects.filter(name="Written by who reads").exists()
    assert Site.objects.count() == 1
    SiteFactory()
    assert Site.objects.count() == 2


def test_what_is_called_aside_is_seen_by_others_at_once(several_connections):
    with one_state() as aside:
        assert Site.objects.count() == 0
        aside(SiteFactory)
        assert Site.objects.count() == 0
    assert Site.objects.count() == 1


def test_a_fault_aside_is_heard(several_connections):
    def fault():
        raise ValueError("heard")

    with pytest.raises(ValueError, match="heard"), one_state() as aside:
        aside(fault)


def test_a_file_made_at_once_is_of_one_moment_too(
    several_connections, small_steps, monkeypatch
):
    repair = RepairFactory(reported_at=datetime(2024, 1, 1, 8, tzinfo=UTC))
    CostLineFactory.create_batch(LINES, repair=repair, amount=Decimal(7))
    write = workbook_lines.LineSheets.write

    def somebody_logs_first(sheets, report, progress):
        with ThreadPoolExecutor(max_workers=1) as other:
            other.submit(CostLineFactory, repair=repair, amount=Decimal(100)).result()
            other.submit(connections.close_all).result()
        write(sheets, report, progress)

    monkeypatch.setattr(workbook_lines.LineSheets, "write", somebody_logs_first)
    client = logged_in(UserFactory(role="manager"))
    answer = client.get("/costs/workbook/", QUESTION)
    book = load_workbook(io.BytesIO(b"".join(answer.streaming_content)), data_only=True)
    assert CostLine.objects.count() == LINES + 1
    assert book["Cost lines"].max_row == 1 + LINES
    notes = [row[1] for row in book["Notes"].iter_rows(values_only=True)]
    assert CHANGED not in notes
