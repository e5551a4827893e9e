"""An upgrade case against sums done by hand on a small made fleet."""

import json
from datetime import date
from decimal import Decimal

import numpy as np
import pytest
from django.core.exceptions import PermissionDenied
from django.db import connection
from django.test.utils import CaptureQueriesContext

from analytics.judging.expectation import freeze
from analytics.reports.upgrades.assumptions import Population, Range, RatioFrom
from analytics.reports.upgrades.report import upgrade_report
from analytics.reports.upgrades.words import ON_NO_RECORD
from records.choices import Item
from tests.analytics.reports.upgrades.fleet import (
    COUNTS,
    YEARS,
    case_of,
    failed,
    fleet_made,
)
from tests.factories.plant import SiteFactory, UserFactory

pytestmark = pytest.mark.django_db
HALF = {"ratio_from": RatioFrom.TYPED, "typed_ratio": Range(Decimal("0.5"))}
# Twelve failures of P-01 and P-02: seven and five, the first of each the cheap one.
MEAN_REPAIR = (7 * 1000 + 5 * 1400) / 12
MEAN_LOST = (7 * 0 + 5 * 3000) / 12


def report_of(positions, user, **typed):
    return upgrade_report(case_of(positions, **typed), user, positions)


def input_of(report, key):
    return next(line for line in report.inputs if line.key == key)


def test_the_rate_is_what_the_actions_expect_and_not_the_bad_record(manager):
    chosen = fleet_made()[:2]
    report = report_of(chosen, manager, **HALF)
    expected = freeze(COUNTS, [YEARS] * 12, [True] * 2 + [False] * 10).rates().mean()
    line = input_of(report, "failures_per_year")
    assert line.value == pytest.approx(expected, rel=1e-9)
    assert line.value < report.rate.raw == pytest.approx(12 / (2 * YEARS))
    assert line.low < line.value < line.high
    assert line.source == "records, n = 12"


def test_money_of_a_failure_is_the_mean_of_the_ledger_with_both_kinds_apart(manager):
    report = report_of(fleet_made()[:2], manager, **HALF)
    assert report.money.costs["repair_cost"].mean == pytest.approx(MEAN_REPAIR)
    assert report.money.costs["lost_production"].mean == pytest.approx(MEAN_LOST)
    repair = input_of(report, "repair_cost")
    assert "The ledger's mean is 1,167" in repair.note
    # The mean of limits that are wider upwards lies a little above.
    assert MEAN_REPAIR < repair.value < 1.005 * MEAN_REPAIR
    assert input_of(report, "environment").value == 0
    assert not report.money.of_peers
    assert (report.money.events, report.money.priced) == (12, 12)


def test_saving_payback_and_worth_agree_with_the_sum_by_hand(manager):
    report = report_of(
        fleet_made()[:2],
        manager,
        purchase=Range(Decimal(3000)),
        installation=Range(Decimal(1000)),
        energy_change=Range(Decimal(-150)),
        discount_rate=Decimal("0.1"),
        **HALF,
    )
    avoided = 2 * input_of(report, "failures_per_year").value * 0.5
    repair = report.money.costs["repair_cost"].quantity.mean
    production = report.money.costs["lost_production"].quantity.mean
    saving = avoided * (repair + production) + 150
    annuity = (1 - 1.1**-10) / 0.1
    assert report.figure("saving_repair").value == pytest.approx(avoided * repair)
    lost = report.figure("saving_lost_production").value
    assert lost == pytest.approx(avoided * production)
    assert report.figure("yearly_saving").value == pytest.approx(saving)
    assert report.figure("investment").value == 4000
    worth = report.figure("net_present_value")
    assert worth.value == pytest.approx(saving * annuity - 4000)
    assert worth.low < worth.value < worth.high
    payback = report.figure("simple_payback")
    assert report.result.simple_payback.months == pytest.approx(12 * 4000 / saving)
    drawn = report.result.simulation
    assert payback.value == pytest.approx(np.median(drawn.payback_months), rel=1e-3)
    saved = report.figure("cost_before").value - report.figure("cost_after").value
    assert saved == pytest.approx(worth.value)
    ratio = report.figure("savings_to_investment").value
    middle = np.median(drawn.net_present_value)
    assert ratio == pytest.approx((middle + 4000) / 4000, rel=1e-3)


def test_the_same_case_gives_the_same_answer(manager):
    chosen = fleet_made()[:2]
    first, second = (report_of(chosen, manager, **HALF) for _ in range(2))
    assert first.as_record() == second.as_record()


def test_the_chance_within_the_months_asked_heads_the_answer(manager):
    report = report_of(fleet_made()[:2], manager, purchase=Range(Decimal(4000)), **HALF)
    chance = report.figure("payback_chance").value
    assert 0.1 < chance < 0.9
    shown = f"{chance * 100:.0f}\u00a0%"
    assert report.headline.startswith(
        f"Pays back within 24 months with {shown} probability."
    )


def test_a_change_that_avoids_nothing_does_not_pay_and_says_so(manager):
    typed = HALF | {"typed_ratio": Range(Decimal(1))}
    report = report_of(
        fleet_made()[:2], manager, purchase=Range(Decimal(4000)), **typed
    )
    assert report.figure("payback_chance").value == 0
    assert report.figure("gain_chance").value == 0
    assert "It hardly ever pays" in report.headline
    assert report.figure("simple_payback").value is None
    assert "nothing comes back" in report.figure("simple_payback").reason


def test_a_typed_share_says_loudly_that_it_rests_on_no_record(manager):
    report = report_of(fleet_made()[:2], manager, **HALF)
    assert ON_NO_RECORD in report.headline
    assert report.warnings[0] == ON_NO_RECORD


def test_other_currencies_are_named_and_never_added(manager):
    positions = fleet_made()
    failed(positions[0], date(2023, 6, 20), repair=777, currency="USD")
    report = report_of(positions[:2], manager, **HALF)
    assert report.money.costs["repair_cost"].mean == pytest.approx(MEAN_REPAIR)
    assert any("USD\u00a0777.00" in words for words in report.warnings)


def test_few_own_failures_take_the_money_of_like_positions(manager):
    positions = fleet_made()
    report = report_of(positions[2:4], manager, **HALF)
    assert report.money.of_peers
    assert report.money.priced == sum(COUNTS)
    assert "of these and like positions" in input_of(report, "repair_cost").note


def test_a_typed_cost_replaces_the_ledger_and_shows_what_it_says(manager):
    typed = HALF | {"repair_cost": Range(Decimal(9000))}
    line = input_of(report_of(fleet_made()[:2], manager, **typed), "repair_cost")
    assert (line.value, line.source) == (9000, "typed")
    assert "1,167" in line.note


def test_without_amounts_the_repair_cost_must_be_typed(manager):
    positions = fleet_made()
    case = case_of(positions[:2], currency="GBP", **HALF)
    report = upgrade_report(case, manager, positions[:2])
    assert report.result is None
    assert "amounts in GBP: type the repair cost" in report.refusals[0]
    assert report.headline.startswith("The case cannot be reckoned yet.")


def test_only_the_failures_asked_for_count(manager):
    positions = fleet_made()
    failed(positions[0], date(2023, 6, 20), item=Item.THRUST_BEARING, repair=99)
    of_bearings = report_of(positions[:2], manager, what_fails="bearing", **HALF)
    assert of_bearings.rate.events == 1
    of_all = report_of(positions[:2], manager, **HALF)
    assert of_all.rate.events == 13


def test_rework_is_one_event_and_its_money_adds_up(manager):
    positions = fleet_made()
    first = date(2023, 6, 1)
    failed(positions[0], first, repair=500)
    failed(positions[0], first.replace(day=15), repair=700)
    report = report_of(positions[:2], manager, **HALF)
    assert report.rate.events == 13
    mean = (12 * MEAN_REPAIR + 1200) / 13
    assert report.money.costs["repair_cost"].mean == pytest.approx(mean)


def test_what_happens_or_is_booked_after_the_day_plays_no_part(manager):
    positions = fleet_made()
    before = report_of(positions[:2], manager, **HALF).as_record()
    failed(positions[0], date(2024, 2, 1), repair=50_000)
    assert report_of(positions[:2], manager, **HALF).as_record() == before


def test_the_rate_of_interest_is_typed_else_the_sites_else_the_default(manager):
    site = SiteFactory()
    chosen = fleet_made(site)[:2]
    line = input_of(report_of(chosen, manager, **HALF), "discount_rate")
    assert (line.value, line.source) == (0.08, "default")
    chosen[0].site.discount_rate = Decimal("0.05")
    line = input_of(report_of(chosen, manager, **HALF), "discount_rate")
    assert (line.value, line.source) == (0.05, "the site's")
    typed = report_of(chosen, manager, discount_rate=Decimal("0.1"), **HALF)
    line = input_of(typed, "discount_rate")
    assert (line.value, line.source) == (0.1, "typed")


def test_the_promise_is_plain_data_without_infinity(manager):
    report = report_of(
        fleet_made()[:2], manager, purchase=Range(Decimal(50_000)), **HALF
    )
    kept = json.loads(json.dumps(report.as_record(), allow_nan=False))
    payback = next(f for f in kept["figures"] if f["key"] == "simple_payback")
    assert payback["high"] is None
    assert kept["as_of"] == "2023-12-31"
    assert [one["tag"] for one in kept["positions"]] == ["P-01", "P-02"]


def test_who_may_not_see_costs_is_refused():
    chosen = fleet_made()[:2]
    fitter = UserFactory(role="fitter")
    with pytest.raises(PermissionDenied):
        report_of(chosen, fitter, **HALF)


def test_a_manager_of_another_site_is_refused(db):
    chosen = fleet_made()[:2]
    stranger = UserFactory(role="manager", sees_all_sites=False)
    stranger.sites.add(SiteFactory())
    with pytest.raises(PermissionDenied):
        report_of(chosen, stranger, **HALF)


def test_the_number_of_queries_does_not_grow_with_the_positions(manager):
    positions = fleet_made()

    def queries(chosen):
        fleet = {"old": Population(), "new": Population(plan="11")}
        case = case_of(chosen, change_made="piping plan", **fleet)
        with CaptureQueriesContext(connection) as captured:
            upgrade_report(case, manager, chosen)
        return len(captured)

    queries(positions[:1])  # what the user may do is remembered from here on
    assert queries(positions[:1]) == queries(positions) <= 20


def test_a_position_not_yet_started_counts_with_the_rate_of_the_others(manager):
    positions = fleet_made()
    positions[11].in_service_on = date(2024, 1, 1)
    positions[11].save()
    report = report_of([positions[0], positions[11]], manager, **HALF)
    assert report.figure("failures_before").value == pytest.approx(
        2 * input_of(report, "failures_per_year").value
    )
    assert report.rate.events == 7
    assert any("Not yet in service in these months" in w for w in report.warnings)


def test_positions_that_never_served_are_refused(manager):
    positions = fleet_made()
    positions[11].in_service_on = date(2024, 1, 1)
    positions[11].save()
    report = report_of(positions[11:], manager, **HALF)
    assert report.refusals == ["None of the positions was in service in these months."]
    assert report.figures == []
