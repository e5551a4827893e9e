"""Upgrade cases find in the demo plant what its generator put there."""

from datetime import date
from decimal import Decimal
from time import process_time

import pytest
from django.core.management import call_command
from django.db import transaction

from analytics.demo import demo_actions_load
from analytics.reports.upgrades.assumptions import Population, Range, RatioFrom
from analytics.reports.upgrades.report import upgrade_report
from plant.models import Position, User
from tests.analytics.reports.upgrades.fleet import case_of

END = date(2026, 11, 25)


@pytest.fixture(scope="module")
def demo(django_db_setup, django_db_blocker):
    """The demo plant with its actions, loaded once for all tests of this module."""
    with django_db_blocker.unblock(), transaction.atomic():
        call_command("load_demo", end=END)
        demo_actions_load(today=END)
        yield
        transaction.set_rollback(True)


@pytest.fixture
def demo_manager(demo, db):
    return User.objects.get(username="manager")


def report_of(user, *, change_made="piping plan", **typed):
    chosen = list(Position.objects.filter(tag__in=["P-1117", "P-1416"]))
    typed = {"purchase": Range(Decimal(20_000))} | typed
    case = case_of(chosen, change_made=change_made, **typed)
    case.as_of = END
    return upgrade_report(case, user, chosen)


def test_the_flush_from_the_discharge_about_halves_seal_failures(demo_manager):
    report = report_of(
        demo_manager,
        what_fails="seal",
        old=Population(plan="02"),
        new=Population(plan="11"),
    )
    assert report.ratio.fleet.tags == ("P-1111", "P-1112", "P-1113", "P-1114", "P-1115")
    ratio = report.ratio.ratio
    assert ratio.estimate == pytest.approx(0.5, abs=0.2)
    assert 0.5 in ratio.interval


def test_dual_seals_of_the_worst_are_not_taken_for_a_success(demo_manager):
    report = report_of(demo_manager, change_made="dual seal")
    measured = report.ratio.fleet.measured
    # Against their own record they look like a triumph; the truth is no change.
    assert measured.raw_ratio < 0.55
    assert measured.ratio.estimate > measured.raw_ratio + 0.1
    assert 1.0 in measured.ratio.interval
    assert any("avoids any failures" in words for words in report.warnings)


def test_the_record_of_the_true_bad_actors_is_believed(demo_manager):
    report = report_of(demo_manager, change_made="dual seal")
    rate = report.rate
    assert rate.peer_units > 100
    # One gamma pool for all drew them to 2.2 a year.
    assert 0.9 * rate.raw < rate.quantity.best < rate.raw
    assert rate.worse > 0.99
    line = next(one for one in report.inputs if one.key == "failures_per_year")
    assert line.low < rate.raw < line.high
    assert "whose record is believed: more than 99\u00a0%." in line.note
    assert not any(words.startswith("As counted") for words in report.warnings)


def test_lives_of_the_dual_seal_are_no_longer_than_before(demo_manager):
    report = report_of(
        demo_manager,
        change_made="dual seal",
        what_fails="seal",
        ratio_from=RatioFrom.LIVES,
        old=Population("seal", "S-4102"),
        new=Population("seal", "S-4200"),
    )
    assert 1.0 in report.ratio.ratio.interval
    assert report.ratio.ratio.estimate > 0.8


def test_the_cooled_flush_halves_failures_by_the_lives_of_its_seals(demo_manager):
    report = report_of(
        demo_manager,
        what_fails="seal",
        ratio_from=RatioFrom.LIVES,
        old=Population("seal", "S-4103", "11"),
        new=Population("seal", "S-4103", "21"),
    )
    assert 0.5 in report.ratio.ratio.interval
    assert report.ratio.ratio.interval.high < 1.0


def test_one_report_takes_seconds_at_most(demo_manager):
    started = process_time()
    report = report_of(
        demo_manager, old=Population(plan="02"), new=Population(plan="11")
    )
    assert report.figures
    # Processor time; measured 1.2 s on the two shared cores.
    assert process_time() - started < 6
