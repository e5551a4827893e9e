"""The demo plant's decisions: the pages judge them as its generator made them."""

import pytest

from analytics.demo import demo_actions_load
from analytics.judging.verdict import Finding
from analytics.reports.actions.judgement import judgement
from analytics.reports.actions.worked import worked
from plant.models import User
from records.action_choices import ActionState, ChangeMade, Verdict
from records.demo import truths
from records.models import Action
from records.selectors.actions import actions_visible, overdue, verdict_due
from tests.demo_plant import END


@pytest.fixture
def demo_engineer(demo_with_actions, db):
    return User.objects.get(username="engineer")


def test_the_dual_seals_are_not_taken_for_a_success(demo_engineer):
    action = Action.objects.get(change_made=ChangeMade.DUAL_SEAL)
    found = judgement(action, END)
    raw = sum(unit.events / unit.years for unit in found.frozen.treated)
    after = found.after.events / sum(found.after.years) * len(found.after.years)
    # Against their own record they look like a triumph: repairs about halve.
    assert after < 0.6 * raw
    assert found.finding in (Finding.UNPROVEN, Finding.DOES_NOT)
    assert action.verdict in (Verdict.UNPROVEN, Verdict.DOES_NOT)


def test_the_cooled_flush_works_as_lives_show(demo_engineer):
    action = Action.objects.get(title__startswith="Cooled flush")
    found = judgement(action, END)
    assert found.judged_by_lives
    assert found.finding is Finding.WORKS
    assert found.asks_for_verdict
    assert list(verdict_due(actions_visible(demo_engineer), END)) == [action]


def test_the_cheap_flush_at_five_pumps_goes_the_right_way(demo_engineer):
    action = Action.objects.get(positions__tag=truths.FLUSH_CHANGED[0])
    found = judgement(action, END)
    assert {u.unit.label for u in found.units} == set(truths.FLUSH_CHANGED)
    assert found.finding in (Finding.WORKS, Finding.UNPROVEN)
    assert found.judged.ratio < 0.85


def test_nothing_after_the_decision_was_frozen(demo_engineer):
    for action in Action.objects.select_related("expectation"):
        assert action.expectation.as_of == action.decided_at.date()
        units = action.expectation.figures["treated"]
        assert all(unit["years"] <= 3.01 for unit in units)


def test_one_is_overdue_one_open_one_too_early_and_one_dropped(demo_engineer):
    rows = actions_visible(demo_engineer)
    assert [a.owner.username for a in overdue(rows, END)] == ["planner"]
    assert rows.open().count() == 2
    assert rows.filter(state=ActionState.DROPPED).count() == 1
    assert worked(demo_engineer, END).too_early == 1


def test_loading_twice_adds_nothing(demo_engineer):
    count = Action.objects.count()
    assert demo_actions_load(today=END) == 0
    assert Action.objects.count() == count
