"""Decisions with what was to be expected: both are stored, or neither."""

from datetime import date
from typing import Any

from django.db import transaction

from analytics.reports.actions.expectation import expectation_freeze
from plant.models import User
from records.models import Action
from records.services.actions import action_decide


@transaction.atomic
def action_decide_and_freeze(
    *, by: User, as_of: date | None = None, **decision: Any
) -> Action:
    """Store a decision and freeze what its units would do without it.

    `decision` are the fields of `action_decide`; `as_of` is the last day whose records
    count, the day of the decision if None.
    """
    action = action_decide(by=by, **decision)
    expectation_freeze(by=by, action=action, as_of=as_of)
    return action
