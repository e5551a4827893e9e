"""Two people judge at once, on PostgreSQL: one wins, the other gets a sentence."""

from datetime import date

import pytest

from records.action_choices import ActionState, Verdict
from records.services.actions import action_judge
from tests.factories.actions import ActionFactory
from tests.factories.plant import UserFactory
from tests.records.test_repair_races import both, one_wins

pytestmark = [pytest.mark.postgresql, pytest.mark.django_db(transaction=True)]


def test_two_verdicts(engineer):
    action = ActionFactory(state=ActionState.DONE, done_on=date(2024, 5, 1))
    other = UserFactory(role="reliability engineer")
    answers = both(
        lambda: action_judge(
            by=engineer, action=action, verdict=Verdict.WORKS, note="Fewer leaks"
        ),
        lambda: action_judge(
            by=other, action=action, verdict=Verdict.UNPROVEN, note="Too few"
        ),
    )
    assert one_wins(answers, "judged it already")
    assert action.history.filter(state=ActionState.JUDGED).count() == 1
