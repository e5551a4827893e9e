"""The promise beside what came of it: counted, booked, and too early where it is."""

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest
from scipy import stats

from analytics.reports.upgrade_follow_up import page
from analytics.reports.upgrade_follow_up.reality import follow_up, observed_rate
from analytics.services.actions import action_judge_and_freeze
from records.action_choices import Verdict
from records.choices import Category, CostKind, CostStatus, FailureMode, Item
from records.services.actions import action_drop
from tests.analytics.reports.actions.fleet import DONE, repair, repairs_spread
from tests.analytics.upgrade_plant import TYPED, acted, case_of, done, plant
from tests.factories.records import CostLineFactory, RepairFactory

pytestmark = pytest.mark.django_db

# The planned date is a year after it was done.
JUDGED = date(2024, 2, 1)


@pytest.fixture
def positions():
    return plant()


@pytest.fixture
def case(manager, engineer, positions):
    return done(engineer, acted(manager, case_of(manager, positions[:2])))


def test_a_case_without_action_has_nothing_to_follow(manager, positions):
    assert follow_up(case_of(manager, positions[:2]), JUDGED) is None


def test_failures_are_counted_with_exact_limits(case, positions):
    repairs_spread(positions[0], 1, DONE, JUDGED)
    found = follow_up(case, JUDGED)
    years = found.judged.after.years
    assert found.judged.after.events == 1
    observed, rate = found.reality.observed, 2 / sum(years)
    assert observed.value == pytest.approx(rate)
    assert observed.low == pytest.approx(stats.chi2.ppf(0.05, 2) / 2 * rate)
    assert observed.high == pytest.approx(stats.chi2.ppf(0.95, 4) / 2 * rate)
    assert found.reality.failures == observed
    expected = found.judged.judged.expected
    assert found.reality.expected.value == pytest.approx(expected * rate)


def test_none_at_all_has_an_upper_limit_only():
    none = observed_rate(0, [1.0, 1.0])
    assert (none.value, none.low) == (0.0, 0.0)
    assert none.high == pytest.approx(stats.chi2.ppf(0.95, 2) / 2)
    assert observed_rate(0, [0.0]).value is None


def test_the_saving_is_what_was_avoided_at_the_promised_cost(case, positions):
    repairs_spread(positions[0], 1, DONE, JUDGED)
    found = follow_up(case, JUDGED)
    judged, saved = found.judged.judged, found.reality.saved_so_far
    assert found.promise.cost_per_failure == 3500
    assert saved.value == pytest.approx((judged.expected - 1) * 3500)
    ratio = judged.ratio_interval
    assert saved.low == pytest.approx(judged.expected * (1 - ratio.high) * 3500)
    assert saved.high == pytest.approx(judged.expected * (1 - ratio.low) * 3500)
    assert saved.low < saved.value < saved.high


def test_a_case_of_seals_counts_seal_failures_beside_all_repairs(
    manager, engineer, positions
):
    seals = {"assumptions": TYPED | {"what_fails": "seal"}}
    case = done(engineer, acted(manager, case_of(manager, positions[:2], **seals)))
    for month, item in ((3, Item.SEAL), (7, Item.RADIAL_BEARING)):
        more = {"item": item, "failure_mode": FailureMode.ELP}
        repair(positions[0], date(2023, month, 1), **more).save()
    real = follow_up(case, JUDGED).reality
    assert real.observed.value == pytest.approx(2 * real.failures.value)
    assert page.rows(follow_up(case, JUDGED))[0][0]["note"] == "counted: seal failures"


def test_the_modification_is_told_with_what_it_cost(case, positions):
    def spent(position, day, amount, **more):
        repair = RepairFactory(
            position=position,
            site=position.site,
            category=more.pop("category", Category.MODIFICATION),
            reported_at=datetime(day.year, day.month, day.day, 12, tzinfo=UTC),
        )
        facts = {"kind": CostKind.PARTS, "status": CostStatus.BOOKED, **more}
        CostLineFactory(repair=repair, amount=amount, **facts)

    spent(positions[0], date(2023, 1, 15), "7000.10", currency="EUR")
    spent(
        positions[1],
        date(2023, 1, 20),
        "900",
        currency="EUR",
        status=CostStatus.ESTIMATE,
    )
    spent(positions[1], date(2023, 1, 20), "50", currency="USD")
    # Not of the change: before it, after it, elsewhere, and no modification.
    spent(positions[0], date(2022, 12, 31), "1", currency="EUR")
    spent(positions[0], date(2023, 2, 2), "1", currency="EUR")
    spent(positions[5], date(2023, 1, 15), "1", currency="EUR")
    repair_work = {"category": Category.CORRECTIVE, "currency": "EUR"}
    spent(positions[0], date(2023, 1, 15), "1", **repair_work)
    found = follow_up(case, JUDGED)
    assert found.modifications == 3
    assert found.own_cost.booked == Decimal("7000.10")
    assert found.own_cost.estimate == Decimal(900)
    assert [cost.currency for cost in found.other_currencies] == ["USD"]
    assert "USD\u00a050.00" in " ".join(page.cost_sentences(found))
    spent_row = page.rows(found)[2]
    assert spent_row[3]["text"] == "EUR\u00a07,900.10"
    assert spent_row[3]["note"] == "EUR\u00a0900.00 of it estimated"


def test_before_the_planned_date_it_is_too_early(case):
    found = follow_up(case, date(2023, 9, 1))
    assert found.is_too_early
    flags = [row[3].get("flag") for row in page.rows(found)]
    assert flags == ["too early", "too early", None, "too early", "too early", None]
    assert "2024-02-01" in page.conclusion(found)


def test_an_action_that_is_not_done_has_a_promise_and_nothing_else(manager, positions):
    case = acted(manager, case_of(manager, positions[:2]))
    found = follow_up(case, JUDGED)
    assert found.reality is None
    assert "Not done yet" in page.conclusion(found)
    assert page.rows(found)[0][3]["text"] == "not yet"


def test_a_dropped_action_says_so(manager, engineer, positions):
    case = acted(manager, case_of(manager, positions[:2]))
    action_drop(by=engineer, action=case.action, reason="No money")
    case.refresh_from_db()
    assert "dropped: No money" in page.conclusion(follow_up(case, JUDGED))


def test_after_the_verdict_it_stands_on_the_figures_that_the_verdict_rested_on(
    case, engineer, positions
):
    repairs_spread(positions[0], 1, DONE, JUDGED)
    before = follow_up(case, JUDGED).reality
    judged_at = datetime(2024, 3, 1, 8, tzinfo=UTC)
    given = {"verdict": Verdict.UNPROVEN, "note": "Too few", "judged_at": judged_at}
    action_judge_and_freeze(by=engineer, action=case.action, **given)
    repairs_spread(positions[1], 3, DONE, JUDGED)
    case.refresh_from_db()
    after = follow_up(case, date(2024, 6, 1)).reality
    assert (after.observed, after.saving) == (before.observed, before.saving)
