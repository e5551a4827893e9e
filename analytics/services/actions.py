"""Decisions with what was to be expected: both are stored, or neither."""

from datetime import date
from typing import Any

from django.db import transaction

from analytics.reports.actions.expectation import Frozen, expectation_freeze
from analytics.reports.actions.judgement import refuse_more_than_expected
from plant.models import User
from records.models import Action
from records.services.actions import DECIDE, action_decide


@transaction.atomic
def action_decide_and_freeze(
    *,
    by: User,
    as_of: date | None = None,
    permission: str = DECIDE,
    **decision: Any,
) -> Action:
    """Store a decision and freeze what its units would do without it.

    `decision` are the fields of `action_decide`; `as_of` is the last day whose records
    count, the day of the decision if None.

    Raises
    ------
    ValidationError
        As `action_decide`, and when fewer repairs are hoped for than are expected.
    """
    action = action_decide(by=by, permission=permission, **decision)
    frozen = expectation_freeze(
        by=by, action=action, as_of=as_of, permission=permission
    )
    if permission == DECIDE:  # an upgrade case promises by a method of its own
        refuse_more_than_expected(action, Frozen.from_figures(frozen.figures))
    return action
