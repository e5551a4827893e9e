"""The budget rests on ages in service, renewals on record and what repairs cost."""

import csv
import io
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import numpy as np
import pytest
from django.core.exceptions import PermissionDenied
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from analytics.exposure import window_of_months
from analytics.life.data import LifeData
from analytics.life.forecast import expected_failures
from analytics.life.weibull import weibull_fit
from analytics.money.mean_cost import mean_cost
from analytics.reports.budget.report import budget_report
from analytics.scope import Scope
from plant.choices import WhyRemoved
from records.choices import CostKind, Item
from tests.analytics.seals_on_record import FITTED, PUMP_B, fitted, seals
from tests.conftest import logged_in
from tests.factories.plant import (
    FittedLifeFactory,
    PlacementFactory,
    PositionFactory,
    PumpFactory,
    SiteFactory,
    UserFactory,
)
from tests.factories.records import CostLineFactory, RepairFactory

pytestmark = pytest.mark.django_db
YEAR_HOURS = 365.25 * 24
NOW = datetime.now(UTC)


def budget(user, level=0.9, **place):
    scope = Scope(user, window_of_months(timezone.localdate(), 12), **place)
    return budget_report(scope, level)


def failure(position, item=Item.SEAL, amount=1000, days=100, **facts):
    repair = RepairFactory(
        position=position, item=item, reported_at=NOW - timedelta(days=days), **facts
    )
    if amount is not None:
        CostLineFactory(repair=repair, amount=Decimal(amount))
    return repair


@pytest.fixture
def fleet():
    """Ten seals of pump B that failed, and three in service in one area."""
    seals(PUMP_B)
    first = fitted(fitted_at=NOW - timedelta(days=200))
    area = first.position.area
    for days in (50, 500):
        placement = PlacementFactory(
            position=PositionFactory(area=area), placed_at=FITTED
        )
        FittedLifeFactory(
            pump=placement.pump,
            position=placement.position,
            part_number="MS-40",
            fitted_at=NOW - timedelta(days=days),
        )
    return first.position


def test_failures_are_those_of_the_fit_at_the_ages_in_service(fleet, manager):
    report = budget(manager, area=fleet.area)
    ages = np.array([200, 50, 500]) * 24.0
    fit = weibull_fit(LifeData([*PUMP_B, *ages], [True] * 10 + [False] * 3, unit="h"))
    truth = expected_failures(ages, fit, YEAR_HOURS)
    (part,) = report.parts
    assert part.failing.failures == pytest.approx(truth.expected, rel=0.02)
    low, high = truth.interval.low, truth.interval.high
    assert part.failing.failures_interval.low == pytest.approx(low, abs=1)
    assert part.failing.failures_interval.high == pytest.approx(high, abs=1)
    assert (part.in_service, part.demand.failed, part.demand.lives) == (
        3,
        10,
        13,
    )
    (line,) = report.areas
    assert line.seals.failures == part.failing.failures == report.total.seals.failures


def test_an_area_narrows_what_fails_and_not_what_it_rests_on(fleet, manager):
    other = fitted(fitted_at=NOW - timedelta(days=300)).position
    both = budget(manager)
    alone = [budget(manager, area=place.area) for place in (fleet, other)]
    parts = [report.parts[0] for report in alone]
    assert [part.in_service for part in parts] == [3, 1]
    assert [part.demand.lives for part in parts] == [14, 14]
    added = sum(report.total.all.failures for report in alone)
    assert both.total.all.failures == pytest.approx(added)


def test_what_is_renewed_with_other_work_is_bought_at_its_rate(fleet, manager):
    before = budget(manager, area=fleet.area).total.seals
    for days in (100, 400, 700):
        FittedLifeFactory(
            pump=PumpFactory(site=fleet.site),
            position=fleet,
            part_number="MS-40",
            fitted_at=NOW - timedelta(days=days + 30),
            removed_at=NOW - timedelta(days=days),
            why_removed=WhyRemoved.PRACTICE,
            defect_detected=False,
        )
    report = budget(manager, area=fleet.area)
    (part,) = report.parts
    assert part.renewed_seen == 3
    # Three in the three years that count, so one a year.
    assert part.line.parts - part.failing.failures == pytest.approx(1.0, rel=0.01)
    assert report.total.seals.to_buy > before.to_buy


def test_money_is_the_mean_of_failures_of_the_item_with_their_shop_work(fleet, manager):
    for amount in (1000, 2000, 3000):
        repair = failure(fleet, amount=amount)
        shop = RepairFactory(position=fleet, shop_work_of=repair)
        CostLineFactory(repair=shop, amount=Decimal(500))
        CostLineFactory(
            repair=repair, kind=CostKind.LOST_PRODUCTION, amount=Decimal(4000)
        )
    report = budget(manager, area=fleet.area)
    cost = report.unit_costs["seal"]
    assert (cost.amounts, cost.mean) == (3, 2500)
    assert report.production_costs["seal"].mean == 4000
    total = report.total
    assert total.all.cost == pytest.approx(2500 * total.seals.failures)
    assert total.production.cost == pytest.approx(4000 * total.seals.failures)
    assert total.all.cost_interval.low < total.all.cost < total.all.cost_interval.high


def test_other_failures_come_again_at_their_rate(fleet, manager):
    for days in (10, 300, 600, 900, 1000, 1050):
        failure(fleet, Item.COUPLING, 700, days)
    report = budget(manager, area=fleet.area)
    total = report.total
    assert report.others_seen == 6
    assert total.all.failures - total.seals.failures == pytest.approx(2.0, rel=0.01)
    assert total.all.cost == pytest.approx(2 * 700, rel=0.01)
    assert report.without_cost == ["seal"]


def test_few_amounts_give_a_sentence_and_no_money(fleet, manager, manager_client):
    failure(fleet, amount=1000)
    page = manager_client.get(reverse("analytics:budget")).content.decode()
    assert "fewer than 3 amounts in EUR on record" in page
    assert budget(manager).unit_costs["seal"].mean is None


def test_mean_and_limits_of_amounts_by_hand():
    cost = mean_cost([100.0, 200.0, 300.0])
    assert (cost.mean, cost.spread) == (200.0, 0.5)
    low, high = cost.quantity.quantile([0.05, 0.95])
    # exp(1.6449 x 0.5 / root of 3) = 1.6076
    assert (low, high) == (
        pytest.approx(200 / 1.6076, rel=1e-4),
        pytest.approx(321.5, rel=1e-3),
    )


def test_sites_of_several_currencies_show_no_money(fleet, manager, manager_client):
    SiteFactory(currency="USD")
    for amount in (1, 2, 3):
        failure(fleet, amount=amount)
    assert budget(manager).currency == ""
    page = manager_client.get(reverse("analytics:budget")).content.decode()
    assert "choose one site to see money" in page
    assert "Repair cost, " not in page
    assert budget(manager, site=fleet.site).currency == "EUR"


def test_few_failures_leave_parts_out_with_their_number(manager, manager_client):
    seals(PUMP_B[:4])
    fitted(fitted_at=NOW - timedelta(days=200))
    report = budget(manager)
    assert (report.parts, report.without_life) == ((), 1)
    page = manager_client.get(reverse("analytics:budget")).content.decode()
    assert "1 part in service of a component of which fewer than 5 have failed" in page


def test_a_new_part_takes_the_life_of_its_component_and_says_so(
    fleet, manager_client, manager
):
    fitted(fitted_at=NOW - timedelta(days=30), part_number="MS-99")
    report = budget(manager)
    by_part = {part.demand.part: part.demand for part in report.parts}
    assert by_part["MS-99"].is_pooled
    assert not by_part["MS-40"].is_pooled
    page = manager_client.get(reverse("analytics:budget")).content.decode()
    assert "all parts of the component: 10 failed of 14 lives" in page


def test_records_begun_late_are_counted_from_their_first_day(manager):
    begun = timezone.localdate() - timedelta(days=364)
    site = SiteFactory(records_from=begun)
    position = PositionFactory(area__site=site)
    for days in (10, 100):
        failure(position, Item.COUPLING, 500, days)
    report = budget(manager, site=site)
    assert report.seen.start == begun
    assert report.total.all.failures == pytest.approx(2.0, rel=0.01)


def test_an_empty_plant_is_told_so(manager_client):
    page = manager_client.get(reverse("analytics:budget")).content.decode()
    assert "No position is in service here today." in page


def test_the_file_holds_the_figures_of_the_page(fleet, manager_client, manager):
    for amount in (1000, 2000, 3000):
        failure(fleet, amount=amount)
    url = reverse("analytics:budget_export")
    sent = manager_client.get(url)
    text = b"".join(sent.streaming_content).decode("utf-8-sig")
    rows = {row["name"]: row for row in csv.DictReader(io.StringIO(text))}
    total = budget(manager).total
    assert float(rows["All areas"]["failures_expected"]) == pytest.approx(
        total.all.failures
    )
    assert float(rows["All areas"]["repair_cost_expected"]) == round(total.all.cost, 2)
    assert rows["MS-40"]["seals_to_buy"] == str(total.seals.to_buy)


def test_nobody_budgets_for_a_site_that_is_not_theirs(fleet):
    user = UserFactory(role="manager", sees_all_sites=False)
    user.sites.add(SiteFactory())
    client = logged_in(user)
    for name in ("analytics:budget", "analytics:budget_export"):
        asked = client.get(reverse(name), {"site": fleet.site.pk})
        assert "MS-40" not in asked.content.decode()
        assert "Select a valid choice" in asked.content.decode()
    assert budget(user).parts == ()


def test_a_fitter_sees_no_budget():
    fitter = UserFactory(role="fitter")
    assert logged_in(fitter).get(reverse("analytics:budget")).status_code == 403
    with pytest.raises(PermissionDenied):
        budget(fitter)


def test_a_bad_choice_is_refused_beside_its_field(manager_client):
    page = manager_client.get(reverse("analytics:budget"), {"level": "2"})
    assert "level" in page.context["form"].errors
    sent = manager_client.get(reverse("analytics:budget_export"), {"level": "2"})
    assert sent.status_code == 400


def test_queries_do_not_grow_with_the_fleet(fleet, manager):
    def queries():
        with CaptureQueriesContext(connection) as found:
            budget(manager)
        return len(found)

    queries()
    few = queries()
    for days in range(20, 60, 10):
        failure(fitted(fitted_at=NOW - timedelta(days=days)).position, days=days)
    assert queries() == few
    assert few <= 21


def test_the_year_ahead_begins_tomorrow(fleet, manager_client):
    page = manager_client.get(reverse("analytics:budget"))
    tomorrow = timezone.localdate() + timedelta(days=1)
    assert page.context["sentences"][0].startswith(f"From {tomorrow} to ")
    assert isinstance(tomorrow, date)
