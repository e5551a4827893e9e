"""Upgrade cases of the demo plant: one promised and done, two that are still open."""

from datetime import date
from typing import Any
from zoneinfo import ZoneInfo

from django.utils import timezone

from analytics.reports.upgrade_follow_up.promise import promise_record
from analytics.reports.upgrades.report import upgrade_report
from analytics.services.upgrades import upgrade_case_make_and_reckon
from plant.models import Position, Site, User
from records.action_choices import ChangeMade
from records.demo import truths
from records.models import Action, UpgradeCase
from records.services.upgrade_cases import upgrade_case_bind

FLUSHED = {"component": "seal", "plan": "11"}
DEAD_ENDED = {"component": "seal", "plan": "02"}
COOLED = {"component": "seal", "plan": "21"}


def demo_upgrades_load(*, today: date) -> int:
    """Keep the cases of the demo; how many there are now.

    Nothing is added where a case stands already, or where there is no demo.
    """
    manager = User.objects.filter(username="manager").first()
    action = Action.objects.filter(
        change_made=ChangeMade.PIPING_PLAN, positions__tag=truths.FLUSH_CHANGED[0]
    ).first()
    if manager is None or action is None or UpgradeCase.objects.exists():
        return 0
    _flush_promised(manager, action)
    _open_cases(manager, action.site, today)
    return UpgradeCase.objects.count()


def _flush_promised(by: User, action: Action) -> None:
    """What the records of that day promised of the change that works."""
    zone = ZoneInfo(action.site.time_zone)
    decided_on = timezone.localdate(action.decided_at, zone)
    case = _case(
        by,
        action.site,
        truths.FLUSH_CHANGED,
        title="Flush from the discharge for the crystallising pumps",
        as_of=decided_on,
        assumptions={
            "purchase": {"least": 2200, "likely": 2600, "most": 3600},
            "installation": {"least": 1600, "likely": 2000, "most": 3200},
            "lead_months": 1,
            "what_fails": "seal",
            "ratio_from": "lives",
            "old": DEAD_ENDED,
            "new": FLUSHED,
        },
    )
    report = upgrade_report(case, by)
    if report.result is not None:
        promise = promise_record(report, promised_on=decided_on)
        upgrade_case_bind(by=by, case=case, action=action, promise=promise)


def _open_cases(by: User, site: Site, today: date) -> None:
    """Two ways to treat the true bad actors, to be compared."""
    _case(
        by,
        site,
        truths.BAD_ACTORS,
        title="Dual seals for the two worst pumps",
        change_made=ChangeMade.DUAL_SEAL,
        as_of=today,
        assumptions={
            "purchase": {"least": 34_000, "likely": 38_000, "most": 46_000},
            "installation": {"least": 7_000, "likely": 9_000, "most": 14_000},
            "lead_months": {"least": 4, "likely": 5, "most": 8},
            "barrier_fluid_change": {"least": 1_200, "likely": 1_800, "most": 2_600},
            "ratio_from": "fleet",
        },
    )
    _case(
        by,
        site,
        truths.BAD_ACTORS,
        title="Cooled flush for the two worst pumps",
        as_of=today,
        assumptions={
            "purchase": {"least": 8_000, "likely": 9_000, "most": 11_500},
            "installation": 2_600,
            "lead_months": 2,
            "water_change": {"least": 600, "likely": 900, "most": 1_500},
            "what_fails": "seal",
            "ratio_from": "fleet",
            "old": FLUSHED,
            "new": COOLED,
        },
    )


def _case(by: User, site: Site, tags: tuple[str, ...], **fields: Any) -> UpgradeCase:
    positions = Position.objects.filter(site=site, tag__in=tags).order_by("tag")
    chosen = {"change_made": ChangeMade.PIPING_PLAN, "positions": positions, **fields}
    return upgrade_case_make_and_reckon(by=by, site=site, **chosen)
