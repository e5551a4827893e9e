"""Failures that no life on record tells of go on at the rate at which they came."""

from dataclasses import astuple
from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from analytics.exposure import window_of_months
from analytics.reports.budget.report import budget_report
from analytics.scope import Scope
from plant.choices import Component, WhyRemoved
from records.choices import ChangeKind, Item, RepairState
from records.models import ComponentChange
from tests.analytics.seals_on_record import PUMP_B, fitted, seals
from tests.factories.plant import FittedLifeFactory, PositionFactory, PumpFactory
from tests.factories.records import CostLineFactory, RepairFactory

pytestmark = pytest.mark.django_db
NOW = datetime.now(UTC)
DRAFT = {"state": RepairState.DRAFT, "signed_at": None}


def budget(user, **place):
    return budget_report(
        Scope(user, window_of_months(timezone.localdate(), 12), **place)
    )


def failure(position, days, item=Item.SEAL, amount=None, **facts):
    facts = {"state": RepairState.SIGNED, "signed_at": NOW, **facts}
    reported = NOW - timedelta(days=days)
    repair = RepairFactory(position=position, item=item, reported_at=reported, **facts)
    if amount is not None:
        CostLineFactory(repair=repair, amount=Decimal(amount))
    return repair


def taken_out(repair, days):
    """A seal of the repair's position, failed and taken out by it, which is signed."""
    life = FittedLifeFactory(
        pump=PumpFactory(site=repair.site),
        position=repair.position,
        part_number="MS-40",
        fitted_at=repair.reported_at - timedelta(days=days),
        removed_at=repair.reported_at + timedelta(days=1),
        why_removed=WhyRemoved.DEFECT,
        defect_detected=True,
    )
    ComponentChange.objects.create(repair=repair, life=life, change=ChangeKind.OUT)
    repair.state, repair.signed_at = RepairState.SIGNED, NOW
    repair.save()


@pytest.fixture
def aged():
    """A position with a seal whose life is known from ten others."""
    seals(PUMP_B)
    return fitted(fitted_at=NOW - timedelta(days=400)).position


def counted(report):
    return {
        part.demand.component: part.counted for part in report.parts if part.counted
    }


def test_failures_at_positions_without_lives_are_not_left_out(
    aged, manager, manager_client
):
    bare = PositionFactory()
    for number in range(27):
        failure(bare, 20 + 30 * number, amount=900 + number)
    report = budget(manager, area=bare.area)
    total = report.total
    assert counted(report) == {"seal": 27}
    assert total.seals.failures == pytest.approx(9.0, rel=0.01)
    assert total.all.failures_interval.low >= 3
    assert total.all.failures_interval.high > total.all.failures
    assert total.seals.to_buy >= 9
    assert total.all.cost == pytest.approx(9 * 913, rel=0.01)
    assert 0 < total.all.cost_interval.low < total.all.cost_interval.high
    asked = {"area": bare.area.pk, "site": bare.site.pk}
    page = manager_client.get(reverse("analytics:budget"), asked).content.decode()
    assert "Without a life on record: 27 failures (27 of mechanical seal)" in page
    assert "27 failures counted from" in page


def test_a_component_of_which_too_few_failed_goes_on_as_counted(manager):
    position = fitted(fitted_at=NOW - timedelta(days=300)).position
    for days in (30, 200, 500):
        taken_out(failure(position, days, **DRAFT), 20)
    failure(position, 100, Item.THRUST_BEARING)
    report = budget(manager)
    assert report.without_life == 1
    assert counted(report) == {Component.SEAL: 3, Component.THRUST: 1}
    assert report.total.all.failures == pytest.approx(4 / 3, rel=0.01)
    assert report.total.all.failures_interval.high > 1


def test_what_the_ages_tell_is_not_counted_again(aged, manager):
    # Before the first life on record: the seal that stands there now replaced it.
    failure(aged, 600)
    # Its part went out, in the repair or in the shop work of it.
    taken_out(failure(aged, 380, **DRAFT), 15)
    job = failure(aged, 350)
    shop = RepairFactory(
        position=aged,
        shop_work_of=job,
        item=Item.SEAL,
        reported_at=job.reported_at,
        **DRAFT,
    )
    taken_out(shop, 5)
    # The part may still go out.
    failure(aged, 2, **DRAFT)
    assert counted(budget(manager)) == {}
    assert failure(aged, 200).pk
    assert counted(budget(manager)) == {"seal": 1}


def test_a_position_out_of_service_counts_no_more(manager):
    gone = PositionFactory(out_of_service_on=timezone.localdate() - timedelta(days=9))
    failure(gone, 100)
    failure(PositionFactory(area=gone.area), 100)
    assert counted(budget(manager)) == {"seal": 1}


def test_an_area_has_the_same_figures_alone_and_beside_others(aged, manager):
    others = [
        fitted(fitted_at=NOW - timedelta(days=days)).position for days in (50, 900)
    ]
    for days in range(20, 900, 60):
        failure(others[0], days, Item.COUPLING, amount=500 + days)
        failure(others[1], days, Item.THRUST_BEARING, amount=100 + days)
        failure(aged, days, amount=1000 + days)
    lines = {line.area: line for line in budget(manager).areas}
    for position in (aged, *others):
        alone = budget(manager, area=position.area)
        (line,) = alone.areas
        assert astuple(line) == astuple(lines[position.area])
        assert astuple(alone.total)[1:] == astuple(line)[1:]


def test_failures_with_amounts_in_other_currencies_are_not_priced(
    aged, manager, manager_client
):
    for days in range(10, 220, 10):
        mixed = failure(aged, days, amount="0.01")
        currency = ("USD", "GBP", "JPY")[days // 10 % 3]
        CostLineFactory(repair=mixed, amount=Decimal(700), currency=currency)
    for amount in (1000, 2000, 3000):
        failure(aged, 5 * amount // 100, amount=amount)
    report = budget(manager)
    cost = report.unit_costs["seal"]
    assert (cost.amounts, cost.mean) == (3, 2000)
    assert report.money.mixed == 21
    assert report.money.elsewhere == dict.fromkeys(("GBP", "JPY", "USD"), Decimal(4900))
    page = manager_client.get(reverse("analytics:budget")).content.decode()
    assert "Not in the mean cost: 21 failures with amounts in other currencies" in page
    assert "than EUR (GBP\u00a04" in page
