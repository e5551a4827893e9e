"""The generated fleet obeys the rules that the services hold for any other row."""

from datetime import date
from itertools import pairwise

import pytest
from django.core.management import CommandError, call_command
from django.db import transaction
from django.db.models import F, Q
from django.urls import reverse

from analytics.exposure import window_of_months
from analytics.reports.bad_actors.report import UnitKind, bad_actor_report
from analytics.scope import Scope
from plant.models import FittedLife, Placement, Position, Pump, SpareGroup, User
from records.models import ComponentChange, CostLine, HourReading, Repair
from tests.conftest import logged_in
from tests.factories.plant import SiteFactory

pytestmark = pytest.mark.django_db
END = date(2026, 11, 25)
SIZE = 60
PAGES = (
    *("analytics:fleet", "analytics:mtbr", "analytics:life", "analytics:trend"),
    *("analytics:bad_actors", "analytics:costs", "analytics:review_list"),
    *("plant:position_list", "records:repair_list", "records:data_quality"),
    *("records:action_list", "analytics:fleet_likely"),
)
PAGES_OF_ONE = (
    *(("plant:position_detail", Position), ("analytics:story", Position)),
    *(("plant:pump_detail", Pump), ("analytics:pump_story", Pump)),
    ("records:repair_detail", Repair),
)


@pytest.fixture(scope="module", autouse=True)
def fleet(django_db_setup, django_db_blocker):
    """The fleet, loaded once for all tests of this module."""
    with django_db_blocker.unblock(), transaction.atomic():
        call_command("load_demo", positions=SIZE, end=END)
        yield
        transaction.set_rollback(True)


def overlaps(spans):
    """Neighbours of one key of which the first ends after the second begins."""
    return [
        (before, after)
        for before, after in pairwise(sorted(spans, key=lambda span: span[:2]))
        if before[0] == after[0] and (before[2] is None or before[2] > after[1])
    ]


def test_lives_of_a_place_do_not_overlap():
    rows = FittedLife.objects.values_list("pump", "location", "fitted_at", "removed_at")
    assert overlaps([((pump, place), *span) for pump, place, *span in rows]) == []


@pytest.mark.parametrize("side", ["pump", "position"])
def test_placements_do_not_overlap(side):
    rows = Placement.objects.values_list(side, "placed_at", "removed_at")
    assert overlaps(list(rows)) == []


def test_stoppages_of_a_pump_do_not_overlap():
    rows = Repair.objects.filter(stopped_at__isnull=False)
    spans = rows.values_list("pump", "stopped_at", "returned_at")
    assert overlaps(list(spans)) == []


def test_a_repair_is_where_its_pump_stood():
    stood_there = Q(
        Q(pump__placements__removed_at__isnull=True)
        | Q(pump__placements__removed_at__gt=F("reported_at")),
        pump__placements__position=F("position"),
        pump__placements__placed_at__lte=F("reported_at"),
    )
    assert Repair.objects.filter(stood_there).count() == Repair.objects.count()


def test_the_counts_are_those_of_a_plant():
    assert Position.objects.count() == SIZE
    assert 25 < Repair.objects.count() / SIZE < 37
    assert 17 < FittedLife.objects.count() / SIZE < 27
    assert Position.objects.values("area").distinct().count() == 2
    assert SpareGroup.objects.filter(positions__isnull=False).exists()
    assert HourReading.objects.filter(position__site__name="Bench fleet").exists()
    assert CostLine.objects.filter(status="booked").exists()
    assert Repair.history.count() == Repair.objects.count()


def test_what_a_repair_changed_agrees_with_the_life():
    out = ComponentChange.objects.filter(change="out")
    assert out.count() == FittedLife.objects.filter(why_removed__in=REPAIRED).count()
    assert not out.exclude(
        life__pump=F("repair__pump"),
        life__removed_at__gte=F("repair__stopped_at"),
        life__removed_at__lte=F("repair__returned_at"),
    ).exists()


REPAIRED = ("defect", "practice")


def test_some_endings_are_failures_and_some_suspensions():
    failed = FittedLife.objects.filter(defect_detected=True).count()
    assert 0.2 < failed / FittedLife.objects.count() < 0.9


def test_the_planted_bad_actors_are_flagged():
    scope = Scope(User.objects.get(username="engineer"), window_of_months(END, 36))
    report = bad_actor_report(scope, UnitKind.POSITION)
    # The one that the command names for this seed.
    assert [unit.label for unit in report.flagged] == ["P-00207"]


@pytest.mark.parametrize("name", PAGES)
def test_every_page_opens(name):
    manager = logged_in(User.objects.get(username="manager"))
    assert manager.get(reverse(name)).status_code == 200


@pytest.mark.parametrize(("name", "model"), PAGES_OF_ONE)
def test_every_page_of_one_row_opens(name, model):
    manager = logged_in(User.objects.get(username="manager"))
    row = model.objects.order_by("pk")[5]
    assert manager.get(reverse(name, args=[row.pk])).status_code == 200


def test_a_second_run_changes_nothing(capsys):
    call_command("load_demo", positions=SIZE)
    assert capsys.readouterr().out == (
        "A generated fleet is already here; nothing was changed.\n"
    )
    assert Position.objects.count() == SIZE


def test_a_database_with_other_data_is_refused():
    SiteFactory(name="Real works")
    with pytest.raises(CommandError, match="This database holds the site Real works"):
        call_command("load_demo", positions=SIZE)
    assert Position.objects.count() == SIZE


def test_a_fleet_without_peers_is_refused():
    with pytest.raises(CommandError, match="at least 10 positions, please"):
        call_command("load_demo", "--positions", "3")
