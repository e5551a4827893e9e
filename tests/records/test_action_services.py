"""Deciding, doing, judging and dropping an action."""

from datetime import date, timedelta

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.utils import timezone

from records.action_choices import ActionState, ChangeMade, Verdict
from records.models import Action
from records.selectors.actions import (
    actions_visible,
    judge_on,
    months_after,
    months_before,
    overdue,
    verdict_due,
)
from records.services.actions import (
    action_change,
    action_decide,
    action_done,
    action_drop,
    action_judge,
)
from tests.factories.actions import ActionFactory
from tests.factories.plant import (
    PositionFactory,
    PumpFactory,
    SiteFactory,
    UserFactory,
)
from tests.factories.records import RepairFactory

pytestmark = pytest.mark.django_db

DUE = date(2030, 1, 1)


def decide(by, position, **more):
    fields = {
        "title": "Other faces",
        "change_made": ChangeMade.SEAL_TYPE,
        "owner": by,
        "due_on": DUE,
        "positions": [position],
        **more,
    }
    return action_decide(by=by, site=position.site, **fields)


def done(months_ago, **more):
    day = months_before(timezone.localdate(), months_ago)
    return ActionFactory(state=ActionState.DONE, done_on=day, **more)


def test_a_decision_keeps_who_what_and_the_currency_of_the_site(engineer):
    position = PositionFactory(site__currency="NOK", area__site__currency="NOK")
    action = decide(engineer, position, cost=4600)
    assert (action.state, action.decided_by) == (ActionState.OPEN, engineer)
    assert list(action.positions.all()) == [position]
    assert action.currency == position.site.currency
    assert action.history.first().history_user == engineer


def test_a_finding_alone_is_about_its_position(engineer):
    repair = RepairFactory()
    action = decide(engineer, repair.position, positions=[], finding=repair)
    assert list(action.positions.all()) == [repair.position]


def test_only_an_engineer_decides(planner):
    with pytest.raises(PermissionDenied):
        decide(planner, PositionFactory())


@pytest.mark.parametrize(
    ("field", "build"),
    [
        ("positions", lambda: {"positions": [PositionFactory()]}),
        ("positions", lambda: {"positions": []}),
        ("pump", lambda: {"pump": PumpFactory()}),
        ("finding", lambda: {"finding": RepairFactory()}),
        ("owner", lambda: {"owner": UserFactory(sees_all_sites=False)}),
        ("cost", lambda: {"cost": -1}),
        ("expected_fewer_repairs_per_year", lambda: _fewer(0.0)),
        ("judge_after_months", lambda: {"judge_after_months": 7}),
        ("due_on", lambda: {"due_on": date(30, 1, 1)}),
    ],
)
def test_what_cannot_be_is_refused_beside_its_field(engineer, field, build):
    with pytest.raises(ValidationError) as refusal:
        decide(engineer, PositionFactory(), **build())
    if field == "judge_after_months":
        assert "__all__" in refusal.value.error_dict
    else:
        assert field in refusal.value.error_dict


def _fewer(value):
    return {"expected_fewer_repairs_per_year": value}


def test_the_owner_marks_it_done_and_nobody_else_of_that_role_does(planner):
    action = ActionFactory(owner=planner)
    other = UserFactory(role="planner")
    with pytest.raises(PermissionDenied):
        action_done(by=other, action=action, done_on=date(2024, 5, 1))
    action = action_done(by=planner, action=action, done_on=date(2024, 5, 1))
    assert action.state == ActionState.DONE
    assert judge_on(action) == date(2025, 5, 1)


def test_an_owner_who_left_the_site_marks_nothing_done():
    owner = UserFactory(sees_all_sites=False, role="planner")
    action = ActionFactory(owner=owner)
    with pytest.raises(PermissionDenied, match="do not work at"):
        action_done(by=owner, action=action, done_on=date(2024, 5, 1))


@pytest.mark.parametrize("day", [date(2024, 2, 28), date(2100, 1, 1)])
def test_done_before_the_decision_or_in_the_future_is_refused(engineer, day):
    with pytest.raises(ValidationError, match=r"decided on|still to come"):
        action_done(by=engineer, action=ActionFactory(), done_on=day)


@pytest.mark.parametrize("verdict", list(Verdict))
def test_every_verdict_is_refused_before_the_planned_date(engineer, verdict):
    action = done(11)
    with pytest.raises(ValidationError) as refused:
        action_judge(by=engineer, action=action, verdict=verdict, note="So good")
    [words] = refused.value.message_dict["verdict"]
    assert words == f"Too early for any verdict: it is planned for {judge_on(action)}."
    action.refresh_from_db()
    assert action.state == ActionState.DONE


@pytest.mark.parametrize(("days", "refused"), [(-1, True), (0, False)])
def test_a_new_action_is_not_due_before_it_is_decided(engineer, days, refused):
    due_on = timezone.localdate() + timedelta(days=days)
    position = PositionFactory()
    if not refused:
        assert decide(engineer, position, due_on=due_on).due_on == due_on
        return
    with pytest.raises(ValidationError) as error:
        decide(engineer, position, due_on=due_on)
    assert list(error.value.message_dict) == ["due_on"]
    assert Action.objects.count() == 0


def test_an_owner_who_left_may_stay_while_the_due_day_moves(engineer):
    action = ActionFactory(owner=UserFactory(is_active=False))
    changed = action_change(
        by=engineer,
        action=action,
        owner=action.owner,
        due_on=DUE,
        judge_after_months=6,
    )
    assert (changed.owner, changed.due_on) == (action.owner, DUE)
    gone = UserFactory(is_active=False)
    with pytest.raises(ValidationError, match="does not work at"):
        action_change(
            by=engineer, action=action, owner=gone, due_on=DUE, judge_after_months=6
        )


def test_works_is_taken_on_the_planned_date(engineer):
    action = done(12)
    judged = action_judge(
        by=engineer, action=action, verdict=Verdict.WORKS, note="One repair only"
    )
    assert (judged.state, judged.judged_by) == (ActionState.JUDGED, engineer)


def test_a_verdict_needs_a_reason_and_an_action_that_is_done(engineer):
    with pytest.raises(ValidationError, match="Say in a sentence why"):
        action_judge(by=engineer, action=done(12), verdict=Verdict.WORKS, note=" ")
    with pytest.raises(ValidationError, match="not done yet"):
        action_judge(
            by=engineer, action=ActionFactory(), verdict=Verdict.UNPROVEN, note="x"
        )


def test_a_second_verdict_is_told_who_gave_the_first(engineer):
    action = done(12)
    first = UserFactory(username="ann", role="reliability engineer")
    action_judge(by=first, action=action, verdict=Verdict.UNPROVEN, note="Too few")
    with pytest.raises(ValidationError, match="ann judged it already: Unproven"):
        action_judge(by=engineer, action=action, verdict=Verdict.WORKS, note="Good")


def test_a_dropped_action_keeps_its_reason_and_is_closed(engineer):
    action = action_drop(by=engineer, action=ActionFactory(), reason="Pump is retired")
    assert action.dropped_reason == "Pump is retired"
    with pytest.raises(ValidationError, match="dropped already: Pump is retired"):
        action_done(by=engineer, action=action, done_on=date(2024, 5, 1))
    with pytest.raises(ValidationError, match="Say why"):
        action_drop(by=engineer, action=ActionFactory(), reason=" ")


def test_an_open_action_changes_hands_and_days_and_history_keeps_both(engineer):
    action = ActionFactory(judge_after_months=12)
    heir = UserFactory()
    more = {"owner": heir, "due_on": DUE, "judge_after_months": 24}
    action_change(by=engineer, action=action, **more)
    action.refresh_from_db()
    assert (action.owner, action.due_on, action.judge_after_months) == (heir, DUE, 24)
    last, first = action.history.order_by("-history_id")[:2]
    assert (last.history_user, last.history_change_reason) == (engineer, "Changed")
    assert (first.owner_id, first.judge_after_months) == (action.decided_by_id, 12)


def test_the_planned_verdict_stands_once_it_is_done(engineer):
    action = done(3)
    more = {"owner": action.owner, "due_on": DUE, "judge_after_months": 3}
    with pytest.raises(ValidationError, match="It was done already"):
        action_change(by=engineer, action=action, **more)


@pytest.mark.parametrize(
    ("field", "value"),
    [("judge_after_months", 7), ("due_on", date(1001, 1, 1))],
)
def test_an_odd_change_is_refused_beside_its_field(engineer, field, value):
    action = ActionFactory()
    more = {"owner": action.owner, "due_on": DUE, "judge_after_months": 6}
    with pytest.raises(ValidationError) as refused:
        action_change(by=engineer, action=action, **{**more, field: value})
    assert list(refused.value.message_dict) == [field]


def test_an_action_goes_to_nobody_of_another_site(engineer):
    action = ActionFactory()
    stranger = UserFactory(sees_all_sites=False)
    with pytest.raises(ValidationError, match="does not work at"):
        action_change(
            by=engineer,
            action=action,
            owner=stranger,
            due_on=DUE,
            judge_after_months=6,
        )


def test_its_owner_alone_changes_nothing(planner):
    action = ActionFactory(owner=planner)
    with pytest.raises(PermissionDenied):
        action_change(
            by=planner, action=action, owner=planner, due_on=DUE, judge_after_months=6
        )


def test_overdue_is_open_and_past_its_day(engineer):
    late = ActionFactory(due_on=date(2024, 6, 1))
    ActionFactory(due_on=date(2024, 6, 2))
    done(1, due_on=date(2024, 1, 1))
    rows = overdue(actions_visible(engineer), date(2024, 6, 2))
    assert list(rows) == [late]


def test_a_verdict_is_due_from_the_planned_date_on(engineer):
    today = timezone.localdate()
    due = done(12)
    done(11)
    done(12, judge_after_months=24)
    rows = actions_visible(engineer)
    assert list(verdict_due(rows, today)) == [due]
    assert list(verdict_due(rows, today - timedelta(days=1))) == []


def test_months_forward_and_back_agree_on_every_day():
    day = date(2023, 1, 1)
    while day < date(2025, 1, 1):
        planned = months_after(day, 6)
        assert months_before(planned, 6) >= day
        assert months_before(planned - timedelta(days=1), 6) < day
        day += timedelta(days=1)


def test_actions_of_other_sites_are_not_seen():
    site = SiteFactory()
    person = UserFactory(sees_all_sites=False)
    person.sites.add(site)
    mine = ActionFactory(site=site)
    ActionFactory()
    assert list(actions_visible(person)) == [mine]
