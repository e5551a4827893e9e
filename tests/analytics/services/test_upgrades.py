"""Cases with their figures, and the promise frozen with an action."""

from datetime import date
from decimal import Decimal

import pytest
from django.core.exceptions import PermissionDenied, ValidationError

from analytics.models import FrozenExpectation
from analytics.reports.upgrade_follow_up.last_figures import last_figures
from analytics.reports.upgrade_follow_up.promise import Promise
from analytics.reports.upgrades.report import upgrade_report
from analytics.services.upgrades import (
    upgrade_case_act,
    upgrade_case_change_and_reckon,
    upgrade_case_make_and_reckon,
)
from plant.version import VERSION
from records.action_choices import ActionState, ChangeMade
from records.models import Action, UpgradeCase
from records.selectors.upgrade_cases import upgrade_case_version
from records.services.upgrade_cases import upgrade_case_change
from tests.analytics.reports.actions.fleet import (
    BEGINNING,
    DECIDED,
    fleet,
    repairs_spread,
)
from tests.factories.plant import SiteFactory, UserFactory

pytestmark = pytest.mark.django_db

TYPED = {
    "purchase": 8000,
    "installation": {"least": 1000, "likely": 2000, "most": 4000},
    "ratio_from": "typed",
    "typed_ratio": {"least": "0.3", "likely": "0.5", "most": "0.8"},
    "repair_cost": 3000,
    "lost_production": 500,
    "energy_change": 100,
}
DECISION = {"due_on": date(2030, 1, 1), "judge_after_months": 12, "reason": "It pays"}


@pytest.fixture
def positions():
    those = fleet(10)
    for position in those:
        repairs_spread(position, 4, BEGINNING, DECIDED)
    return those


def fields(positions, **more):
    return {
        "title": "Dual seals",
        "change_made": ChangeMade.DUAL_SEAL,
        "positions": positions,
        "as_of": DECIDED,
        "assumptions": TYPED,
        **more,
    }


def make(by, positions, **more):
    site = positions[0].site
    return upgrade_case_make_and_reckon(by=by, site=site, **fields(positions, **more))


def act(by, case, **more):
    version = more.pop("version", upgrade_case_version(case))
    decision = {"owner": by, **DECISION, **more}
    return upgrade_case_act(
        by=by, case=case, version=version, as_of=DECIDED, **decision
    )


def test_a_case_is_kept_with_the_figures_of_its_page(manager, positions):
    case = make(manager, positions[:2])
    report = upgrade_report(case, manager)
    case.refresh_from_db()
    kept = last_figures(case)
    worth = report.figure("net_present_value")
    assert kept.net_present_value.value == worth.value
    assert (kept.net_present_value.low, kept.net_present_value.high) == (
        worth.low,
        worth.high,
    )
    assert kept.investment.value == pytest.approx(31_000 / 3)
    assert kept.payback_chance == report.figure("payback_chance").value
    assert (kept.payback_months, kept.refusal) == (24, "")
    # The figures follow from the rest: keeping them is no change of the case.
    assert {row.history_change_reason for row in case.history.all()} == {"Made"}


def test_a_case_that_cannot_be_worked_out_is_kept_and_says_so(manager, positions):
    case = make(manager, positions[:2], assumptions={"ratio_from": "fleet"})
    kept = last_figures(UpgradeCase.objects.get())
    assert kept.net_present_value.value is None
    assert kept.refusal
    with pytest.raises(ValidationError, match="no promise to freeze"):
        act(manager, case)
    assert not Action.objects.exists()


def test_figures_follow_a_change(manager, positions):
    case = make(manager, positions[:2])
    more = {"assumptions": TYPED | {"purchase": 20_000}}
    upgrade_case_change_and_reckon(
        by=manager, case=case, **fields(positions[:3], **more)
    )
    assert last_figures(UpgradeCase.objects.get()).investment.value == pytest.approx(
        67_000 / 3
    )


def test_a_manager_turns_a_case_into_an_action_with_its_promise(manager, positions):
    owner = UserFactory(username="ann")
    case = make(manager, positions[:2])
    report = upgrade_report(case, manager)
    case = act(manager, case, owner=owner)
    action = Action.objects.get()
    assert case.action == action
    assert (action.title, action.owner, action.state) == (
        "Dual seals",
        owner,
        ActionState.OPEN,
    )
    assert set(action.positions.all()) == set(positions[:2])
    assert (action.cost, action.currency) == (Decimal("10333.33"), case.currency)
    result = report.result
    fewer = result.failures_before - result.failures_after
    assert action.expected_fewer_repairs_per_year == pytest.approx(fewer, abs=1e-4)
    assert FrozenExpectation.objects.get(action=action).as_of == DECIDED
    promise = Promise.from_json(UpgradeCase.objects.get().promise)
    assert promise.figure("net_present_value").value == result.net_present_value
    assert promise.software_version == VERSION
    assert (promise.as_of, promise.cost_per_failure) == (DECIDED, 3500)
    saved = promise.figure("saving_failures")
    assert saved.value == pytest.approx(fewer * 3500)
    assert saved.low < saved.value < saved.high
    chance = result.simulation.payback_probability(24)
    assert promise.payback_chances[24] == chance


def test_the_promise_stands_when_records_come_later(manager, positions):
    case = act(manager, make(manager, positions[:2]))
    before = UpgradeCase.objects.get().promise
    repairs_spread(positions[0], 3, date(2022, 1, 1), date(2022, 9, 1))
    with pytest.raises(ValidationError, match="It became the action"):
        act(manager, case)
    with pytest.raises(ValidationError, match="It became the action"):
        upgrade_case_change_and_reckon(by=manager, case=case, **fields(positions))
    assert UpgradeCase.objects.get().promise == before
    assert Action.objects.count() == 1


def test_nothing_is_promised_on_figures_that_somebody_changed_meanwhile(
    manager, positions
):
    case = make(manager, positions[:2])
    opened = upgrade_case_version(case)
    ann = UserFactory(username="ann", role="manager")
    upgrade_case_change(by=ann, case=case, **fields(positions[:3]))
    with pytest.raises(ValidationError, match="ann changed this case"):
        act(manager, case, version=opened)
    assert not Action.objects.exists()


def test_a_refused_decision_leaves_neither_action_nor_promise(manager, positions):
    case = make(manager, positions[:2])
    stranger = UserFactory(sees_all_sites=False)
    stranger.sites.add(SiteFactory())
    with pytest.raises(ValidationError) as refusal:
        act(manager, case, owner=stranger)
    assert "owner" in refusal.value.error_dict
    assert not Action.objects.exists()
    assert UpgradeCase.objects.get().promise is None


def test_a_planner_decides_no_upgrade(planner, manager, positions):
    case = make(manager, positions[:2])
    with pytest.raises(PermissionDenied):
        act(planner, case)
    assert not Action.objects.exists()
