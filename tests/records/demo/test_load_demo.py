"""The command that loads the demo plant."""

from datetime import date

import pytest
from django.core.management import CommandError, call_command

from plant.models import FittedLife, Pump, User
from records.demo.people import DEMO_LOGINS
from records.models import CostLine, HourReading, Repair
from tests.factories.plant import SiteFactory

pytestmark = pytest.mark.django_db
END = "2026-11-25"


def test_a_second_run_changes_nothing(capsys):
    call_command("load_demo", end=date.fromisoformat(END))
    counts = [m.objects.count() for m in (Pump, FittedLife, Repair, CostLine)]
    capsys.readouterr()
    call_command("load_demo", end=date.fromisoformat(END))
    assert capsys.readouterr().out == (
        "The demo plant is already here; nothing was changed.\n"
    )
    assert [m.objects.count() for m in (Pump, FittedLife, Repair, CostLine)] == counts
    assert HourReading.objects.filter(read_at__date__gt=END).count() == 0


def test_some_repairs_are_still_being_worked_on():
    call_command("load_demo", end=date.fromisoformat(END))
    drafts = Repair.objects.filter(state="draft")
    assert {draft.position.tag for draft in drafts} == {"P-1308B", "P-1122"}
    assert drafts.filter(stopped_at__isnull=False, returned_at=None).count() == 1


def test_every_demo_log_in_works(client):
    call_command("load_demo", end=date.fromisoformat(END))
    for login in DEMO_LOGINS:
        user = User.objects.get(username=login.username)
        assert user.check_password(login.password)
        assert [group.name for group in user.groups.all()] == [login.role]


def test_a_database_with_other_data_is_refused():
    SiteFactory(name="Real works")
    with pytest.raises(CommandError, match="This database holds the site Real works"):
        call_command("load_demo")
    assert Repair.objects.count() == 0


def test_if_empty_leaves_other_data_alone(capsys):
    SiteFactory(name="Real works")
    call_command("load_demo", if_empty=True)
    assert capsys.readouterr().out == ""


def test_log_ins_are_printed_only_for_the_demo(capsys):
    SiteFactory(name="Real works")
    call_command("load_demo", print_logins=True)
    assert capsys.readouterr().out == ""


def test_numbers_run_by_year_as_the_log_itself_numbers_them():
    call_command("load_demo", end=date.fromisoformat(END))
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
