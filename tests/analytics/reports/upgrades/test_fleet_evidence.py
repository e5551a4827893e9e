"""The effect of a change is taken from who was changed, against who was not."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest

from analytics.money.errors import TooLittleData
from analytics.money.failures_avoided.from_fleet import FleetCounts, ratio_from_fleet
from analytics.reports.upgrades.changes import ChangeDays, changes_found
from analytics.reports.upgrades.evidence_fleet import fleet_evidence
from analytics.reports.upgrades.history import failure_history
from analytics.reports.upgrades.page import upgrade_answer
from analytics.reports.upgrades.report import upgrade_report
from analytics.reports.upgrades.typed import Population, Range, WhatFails
from records.action_choices import ActionState, ChangeMade
from tests.analytics.reports.upgrades.fleet import (
    AS_OF,
    case_of,
    failed,
    positions_made,
)
from tests.factories.actions import ActionFactory
from tests.factories.plant import DutyPeriodFactory, FittedLifeFactory, PumpFactory

pytestmark = pytest.mark.django_db
CHANGED_ON = date(2022, 1, 1)
SINCE = date(2018, 1, 1)
NONE = Population()
# Failures before and after the change, the first three positions changed.
BEFORE = (6, 5, 5, 1, 0, 2, 1, 0, 1, 2, 0, 1)
AFTER = (2, 2, 1, 1, 1, 1, 0, 1, 2, 1, 0, 1)


@pytest.fixture
def fleet(db):
    positions = positions_made()
    for position, before, after in zip(positions, BEFORE, AFTER, strict=True):
        for number in range(before):
            failed(position, date(2020, 2, 1) + timedelta(days=100 * number))
        for number in range(after):
            failed(position, date(2022, 2, 1) + timedelta(days=100 * number))
    return positions


def history_of(user):
    return failure_history(user, AS_OF, SINCE, WhatFails.ALL)


def plan_changed(positions, on=CHANGED_ON, old="02", new="11"):
    for position in positions:
        DutyPeriodFactory(position=position, piping_plan=old)
        DutyPeriodFactory(position=position, piping_plan=new, starts_on=on)


def action_of(positions, **facts):
    action = ActionFactory(
        site=positions[0].site,
        change_made=ChangeMade.DUAL_SEAL,
        decided_at=datetime(2021, 12, 1, 8, tzinfo=UTC),
        **facts,
    )
    action.positions.set(positions)
    return action


def done(positions):
    return action_of(positions, state=ActionState.DONE, done_on=CHANGED_ON)


def found(user, change="dual seal", old=NONE, new=NONE, but=None):
    return changes_found(history_of(user).scope, change, old, new, but)


def test_the_ratio_is_that_of_the_counts_with_the_luck_of_the_changed_taken_out(
    fleet, manager
):
    plan_changed(fleet[:3])
    plan = {"old": Population(plan="02"), "new": Population(plan="11")}
    report = upgrade_report(
        case_of(fleet[5:7], change_made="piping plan", **plan), manager, fleet[5:7]
    )
    # The log of a position begins in 2020: two years before, two after.
    before, after = 731 / 365.25, 730 / 365.25
    by_hand = ratio_from_fleet(
        FleetCounts(BEFORE[:3], [before] * 3, AFTER[:3], [after] * 3),
        FleetCounts(BEFORE[3:], [before] * 9, AFTER[3:], [after] * 9),
    )
    measured = report.ratio.fleet.measured
    assert measured.ratio.estimate == pytest.approx(by_hand.ratio.estimate)
    assert measured.raw_ratio == pytest.approx(5 / 16 * before / after)
    # Part of the bad record would have passed by itself.
    assert measured.ratio.estimate > measured.raw_ratio
    assert report.ratio.fleet.tags == ("P-01", "P-02", "P-03")
    assert report.ratio.fleet.untreated == 9
    assert "16 failures" in report.ratio.sentences[0]
    assert "is not promised" in report.ratio.sentences[1]
    assert report.ratio.source == "records, fleet, n = 21"


def test_done_actions_of_the_same_change_name_their_positions_and_days(fleet, manager):
    done(fleet[:3])
    action_of(fleet[3:5])
    days = found(manager).days
    assert set(days) == {position.pk for position in fleet[:3]}
    assert days[fleet[0].pk] == ChangeDays(date(2021, 12, 1), date(2022, 1, 2))
    assert not found(manager, change="bearings").days


def test_the_action_of_the_case_itself_is_no_evidence_for_it(fleet, manager):
    action = done(fleet[:3])
    assert not found(manager, but=action.pk).days


def test_an_action_without_positions_is_left_out_and_said(fleet, manager):
    ActionFactory(
        site=fleet[0].site,
        change_made=ChangeMade.DUAL_SEAL,
        population="MS-40",
        decided_at=datetime(2021, 12, 1, 8, tzinfo=UTC),
        done_on=CHANGED_ON,
        state=ActionState.DONE,
    )
    answer = found(manager)
    assert not answer.days
    assert answer.note.endswith("left out: 1.")


def test_a_plan_change_counts_from_the_old_to_the_new_only(fleet, manager):
    plan_changed(fleet[:2])
    plan_changed(fleet[2:3], old="23", new="11")
    plan_changed(fleet[3:4], old="11", new="02")
    exact = found(manager, old=Population(plan="02"), new=Population(plan="11"))
    assert set(exact.days) == {fleet[0].pk, fleet[1].pk}
    assert exact.days[fleet[0].pk] == ChangeDays(date(2021, 12, 31), CHANGED_ON)
    any_old = found(manager, new=Population(plan="11"))
    assert set(any_old.days) == {position.pk for position in fleet[:3]}


def test_a_part_change_is_dated_by_the_first_new_part_fitted(fleet, manager):
    pump = PumpFactory(site=fleet[0].site)
    for part, year in (("S-1", 2020), ("S-1", 2021), ("S-2", 2022), ("S-2", 2023)):
        FittedLifeFactory(
            pump=pump,
            position=fleet[0],
            part_number=part,
            fitted_at=datetime(year, 3, 1, 9, tzinfo=UTC),
            removed_at=datetime(year + 1, 3, 1, 8, tzinfo=UTC),
        )
    new = Population(part="S-2")
    assert found(manager, new=new).days == {
        fleet[0].pk: ChangeDays(date(2022, 3, 1), date(2022, 3, 2))
    }
    assert not found(manager, old=Population(part="S-9"), new=new).days


def test_changed_otherwise_is_no_equal(fleet, manager):
    plan_changed(fleet[:3])
    plan_changed(fleet[3:4], old="11", new="21")
    history = history_of(manager)
    new = Population(plan="11")
    changes = changes_found(history.scope, "piping plan", NONE, new, None)
    assert fleet_evidence(history, changes.days, "").untreated == 8


def test_nobody_changed_and_too_few_changed_are_refused_in_words(fleet, manager):
    history = history_of(manager)
    with pytest.raises(TooLittleData, match="No position in sight has such a change"):
        fleet_evidence(history, {}, "plan 02 to plan 11")
    plan_changed(fleet[:1])
    case = case_of(fleet[5:7], change_made="piping plan", new=Population(plan="11"))
    report = upgrade_report(case, manager, fleet[5:7])
    assert report.result is None
    assert report.refusals[0] == "1 changed position is too few; 2 are needed."


def test_a_typed_share_beside_the_records_is_only_compared(fleet, manager):
    plan_changed(fleet[:3])
    case = case_of(
        fleet[5:7],
        change_made="piping plan",
        new=Population(plan="11"),
        repair_cost=Range(Decimal(4000)),
        purchase=Range(Decimal(9000)),
        typed_ratio=Range(Decimal("0.2")),
    )
    report = upgrade_report(case, manager, fleet[5:7])
    measured = report.ratio.fleet.measured.ratio.median
    assert report.compared is not None
    ratio = report.figure("failure_ratio")
    assert ratio.low < measured < ratio.value < ratio.high
    assert ratio.value == report.ratio.ratio.quantity.mean
    assert report.compared.inputs.failure_ratio.best == 0.2
    assert report.compared.saving.total > report.figure("yearly_saving").value
    ratios = upgrade_answer(report)["compared_rows"][0]
    assert [cell["text"] for cell in ratios][::3] == [
        "Failures after, as share of before",
        "0.20",
    ]
