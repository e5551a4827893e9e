"""Two tablets at once, on PostgreSQL: stored once, and both get the same number."""

from concurrent.futures import ThreadPoolExecutor
from threading import Barrier
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied
from django.db import connection

from plant.models import FittedLife
from records.models import Photo, Repair, TabletEntry
from records.models.tablet_entry import EntryState
from records.services.photos import photo_store
from records.tablet.answering import entry_answer
from records.tablet.storing import entry_store
from tests.factories.records import RepairFactory
from tests.records.pictures import upload
from tests.records.tablet.payloads import laid_over, seal_swap

pytestmark = [pytest.mark.postgresql, pytest.mark.django_db(transaction=True)]


def at_once(*actions):
    """What each action gives, or the refusal it met."""
    ready = Barrier(len(actions))

    def run(action):
        try:
            ready.wait(timeout=10)
            return action()
        except PermissionDenied as denied:
            return denied
        finally:
            connection.close()

    with ThreadPoolExecutor(len(actions)) as pool:
        return list(pool.map(run, actions))


def test_the_same_key_from_two_tablets_is_stored_once(fitter, here):
    payload = seal_swap(here, fitter)
    (first, is_new), (second, is_new_too) = at_once(
        *[lambda: entry_store(by=fitter, payload=payload)] * 2
    )
    assert sorted([is_new, is_new_too]) == [False, True]
    assert first.repair.number == second.repair.number
    assert Repair.objects.count() == TabletEntry.objects.count() == 1
    assert FittedLife.objects.filter(component="seal").count() == 2


def test_one_key_with_two_contents_stores_one_and_refuses_the_other(fitter, here):
    payload = seal_swap(here, fitter)
    answers = at_once(
        lambda: entry_store(by=fitter, payload=payload),
        lambda: entry_store(by=fitter, payload=laid_over(payload, {"text": "Other"})),
    )
    assert sum(isinstance(answer, PermissionDenied) for answer in answers) == 1
    assert Repair.objects.count() == 1


def test_two_logs_of_one_job_become_one_repair_and_one_question(fitter, planner, here):
    (first, _), (second, _) = at_once(
        lambda: entry_store(by=fitter, payload=seal_swap(here, fitter)),
        lambda: entry_store(by=planner, payload=seal_swap(here, planner)),
    )
    states = {first.state, second.state}
    assert states == {EntryState.STORED, EntryState.QUESTION}
    assert Repair.objects.count() == 1


def test_a_question_answered_twice_at_once_stores_one_repair(fitter, planner, here):
    payload = seal_swap(here, fitter, done={"out": [], "in": []})
    entry, _new = entry_store(by=fitter, payload=payload)

    def answer(by):
        try:
            entry_answer(by=by, entry=entry, answer="as it is")
        except Exception as refused:
            return str(refused)
        return ""

    answers = at_once(lambda: answer(fitter), lambda: answer(planner))
    assert sorted(bool(words) for words in answers) == [False, True]
    assert Repair.objects.count() == 1


def test_one_photo_sent_twice_at_once_is_kept_once(planner):
    repair, key = RepairFactory(), uuid4()

    def store():
        file = upload()
        return photo_store(
            by=planner, repair=repair, file=file.file, size=file.size, key=key
        )

    answers = at_once(store, store)
    assert sorted(is_new for _photo, is_new in answers) == [False, True]
    assert Photo.objects.count() == 1
