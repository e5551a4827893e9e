"""A case with its figures: kept for the list, and promised with an action."""

from datetime import date
from decimal import Decimal
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from analytics.reports.upgrade_follow_up.last_figures import listed_figures
from analytics.reports.upgrade_follow_up.promise import promise_record
from analytics.reports.upgrades.report import UpgradeReport, upgrade_report
from analytics.scope import today
from analytics.services.actions import action_decide_and_freeze
from plant.models import User
from plant.zones import site_zone
from records.models import UpgradeCase
from records.selectors.upgrade_cases import positions_of
from records.services.upgrade_cases import (
    PLAN,
    refuse_fixed,
    refuse_stale,
    upgrade_case_bind,
    upgrade_case_change,
    upgrade_case_figures_keep,
    upgrade_case_lock,
    upgrade_case_make,
)

DECIDE_AGAIN = (
    "Nothing was decided either. What the case says now stands above the form; sending "
    "it again freezes that."
)


def upgrade_case_make_and_reckon(*, by: User, **fields: Any) -> UpgradeCase:
    """Keep a case as `upgrade_case_make` does, with the figures that lists show."""
    return _reckoned(upgrade_case_make(by=by, **fields), by)


def upgrade_case_change_and_reckon(
    *, by: User, case: UpgradeCase, **fields: Any
) -> UpgradeCase:
    """Write a case anew as `upgrade_case_change` does, with the figures of lists."""
    return _reckoned(upgrade_case_change(by=by, case=case, **fields), by)


def _reckoned(case: UpgradeCase, by: User) -> UpgradeCase:
    # Simulating takes a second or two: not inside the transaction that stored it,
    # which on SQLite would keep everybody else waiting.
    report = upgrade_report(case, by)
    with site_zone(case.site):
        figures = listed_figures(report, today())
    upgrade_case_figures_keep(by=by, case=case, figures=figures)
    return case


def upgrade_case_act(
    *,
    by: User,
    case: UpgradeCase,
    version: int,
    as_of: date | None = None,
    **decision: Any,
) -> UpgradeCase:
    """Turn a case into an action and freeze what it promises, in one transaction.

    `decision` holds owner, due_on, judge_after_months and reason. Who may plan
    upgrades decides this one kind of action; it is judged as any other.

    Raises
    ------
    ValidationError
        When the case cannot be worked out, changed since the page was opened, became
        an action already or is withdrawn, or beside the field that cannot be.
    """
    refuse_fixed(case)
    report = upgrade_report(case, by)
    if report.result is None:
        raise ValidationError(
            ["There is no promise to freeze: it cannot be worked out."]
            + report.refusals
        )
    with transaction.atomic():
        case = upgrade_case_lock(case)
        refuse_fixed(case)
        refuse_stale(case, version, DECIDE_AGAIN)
        action = action_decide_and_freeze(
            by=by, as_of=as_of, permission=PLAN, **_about(case, report), **decision
        )
        with site_zone(case.site):
            promised_on = timezone.localdate(action.decided_at)
        promise = promise_record(report, promised_on=promised_on)
        return upgrade_case_bind(by=by, case=case, action=action, promise=promise)


def _about(case: UpgradeCase, report: UpgradeReport) -> dict[str, Any]:
    """What the action takes over from the case."""
    before, after, spent = (
        report.figure(key).value or 0.0
        for key in ("failures_before", "failures_after", "investment")
    )
    fewer = before - after
    return {
        "site": case.site,
        "title": case.title,
        "change_made": case.change_made,
        "positions": positions_of(case),
        "expected_fewer_repairs_per_year": round(fewer, 4) if fewer > 0 else None,
        "cost": round(Decimal(spent), 2),
        "currency": case.currency,
    }
