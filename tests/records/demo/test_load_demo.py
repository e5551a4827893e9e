"""The command that loads the demo plant."""

from datetime import date

import pytest
from django.core.management import call_command
from django.db import transaction

from plant.models import FittedLife, Pump, User
from records.demo.people import DEMO_LOGINS
from records.models import CostLine, HourReading, Repair

pytestmark = pytest.mark.django_db
END = "2026-11-25"


@pytest.fixture(scope="module", autouse=True)
def loaded(django_db_setup, django_db_blocker):
    """The demo plant as the command itself loads it."""
    with django_db_blocker.unblock(), transaction.atomic():
        call_command("load_demo", end=date.fromisoformat(END))
        yield
        transaction.set_rollback(True)


def test_a_second_run_changes_nothing(capsys):
    counts = [m.objects.count() for m in (Pump, FittedLife, Repair, CostLine)]
    capsys.readouterr()
    call_command("load_demo", end=date.fromisoformat(END))
    assert capsys.readouterr().out == (
        "The demo plant is already here; nothing was changed.\n"
    )
    assert [m.objects.count() for m in (Pump, FittedLife, Repair, CostLine)] == counts
    assert HourReading.objects.filter(read_at__date__gt=END).count() == 0


def test_some_repairs_are_still_being_worked_on():
    drafts = Repair.objects.filter(state="draft")
    assert {draft.position.tag for draft in drafts} == {"P-1308B", "P-1122"}
    assert drafts.filter(stopped_at__isnull=False, returned_at=None).count() == 1


def test_every_demo_log_in_works(client):
    for login in DEMO_LOGINS:
        user = User.objects.get(username=login.username)
        assert user.check_password(login.password)
        assert [group.name for group in user.groups.all()] == [login.role]


def test_numbers_run_by_year_as_the_log_itself_numbers_them():
    signed = Repair.objects.filter(state="signed").order_by("number")
    by_year = {}
    for repair in signed:
        site, year, running = repair.number.split("-")
        assert (site, len(year)) == ("HW", 4)
        by_year.setdefault(year, []).append(int(running))
    assert all(numbers == [*range(1, len(numbers) + 1)] for numbers in by_year.values())
    drafts = Repair.objects.filter(state="draft", number__startswith="HW-2026-")
    assert {int(d.number[-4:]) for d in drafts} == {
        len(by_year["2026"]) + 1,
        len(by_year["2026"]) + 2,
    }
