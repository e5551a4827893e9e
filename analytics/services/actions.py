"""Decisions with what was to be expected, verdicts with what they rested on.

Of each pair both are stored, or neither.
"""

from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from analytics.models import FrozenVerdict
from analytics.reports.actions.expectation import Frozen, expectation_freeze
from analytics.reports.actions.judgement import judgement, refuse_more_than_expected
from analytics.reports.actions.kept import figures_of, figures_version
from analytics.reports.actions.method import verdict_method
from plant.models import User
from plant.version import VERSION
from records.models import Action
from records.services.actions import DECIDE, action_decide, action_judge

CHANGED = (
    "The records changed after you opened this form: the figures above are the newest. "
    "Nothing was stored; storing again judges by these."
)


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


def action_judge_and_freeze(
    *,
    by: User,
    action: Action,
    verdict: str,
    note: str = "",
    judged_at: datetime | None = None,
    seen: str | None = None,
) -> Action:
    """Give the one verdict and keep the figures that it rests on.

    `seen` is what `figures_version` said of those shown beside the form.

    Raises
    ------
    ValidationError
        As `action_judge`, and when the figures are others than those seen (code
        `stale`).
    """
    zone = ZoneInfo(action.site.time_zone)
    as_of = timezone.localdate(judged_at, zone)
    # Worked out before the row is held: it takes a second on a large site.
    found = judgement(action, as_of)
    with transaction.atomic():
        judged = action_judge(
            by=by, action=action, verdict=verdict, note=note, judged_at=judged_at
        )
        if seen and seen != figures_version(found):
            raise ValidationError(CHANGED, code="stale")
        FrozenVerdict.objects.create(
            action=judged,
            as_of=as_of,
            figures=figures_of(found),
            method=verdict_method(found),
            software_version=VERSION,
        )
    return judged
