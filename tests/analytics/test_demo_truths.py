"""What is truly so in the demo plant is what the pages say of it."""

from datetime import date, datetime

import pytest
from django.core.management import call_command

from analytics.bad_actor_report import UnitKind, bad_actor_report
from analytics.exposure import window_of_months
from analytics.scope import Scope
from plant.models import User
from records.demo import truths
from records.demo.history import history_make

pytestmark = pytest.mark.django_db
END = date(2026, 11, 25)


def flagged(kind, months):
    user = User.objects.get(username="engineer")
    scope = Scope(user, window_of_months(END, months))
    report = bad_actor_report(scope, kind)
    return report, {unit.label for unit in report.flagged}


def test_the_bad_actors_are_found_and_the_unlucky_pump_is_let_go(capsys):
    call_command("load_demo", end=END)
    report, found = flagged(UnitKind.POSITION, 12)
    assert found == set(truths.BAD_ACTORS)
    unlucky = history_make(datetime(2020, 11, 25)).found.unlucky_tag
    (unit,) = (unit for unit in report.units if unit.label == unlucky)
    assert unit.repairs >= 3
    assert not unit.is_flagged
    # The cover out of square is seen on the machine while no tag stands out.
    assert not set(truths.TRAVEL_TAGS) & found
    _, machines = flagged(UnitKind.MACHINE, 36)
    assert truths.TRAVELLER in machines
