"""Decisions of the demo plant, each frozen as of its own day in the past."""

from datetime import date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from django.db import transaction
from django.db.models import QuerySet

from analytics.judging.verdict import Finding
from analytics.reports.actions.judgement import judgement
from analytics.services.actions import (
    action_decide_and_freeze,
    action_judge_and_freeze,
)
from plant.models import Position, Site, User
from records.action_choices import ChangeMade, Verdict
from records.choices import Category
from records.demo import truths
from records.demo.layout import SITE
from records.models import Action, Repair
from records.selectors.actions import judge_on, months_before
from records.services.actions import action_done, action_drop

MORNING = time(8)
VERDICT_OF = {
    Finding.WORKS: Verdict.WORKS,
    Finding.DOES_NOT: Verdict.DOES_NOT,
    Finding.UNPROVEN: Verdict.UNPROVEN,
}


@transaction.atomic
def demo_actions_load(*, today: date) -> int:
    """Decide, do and judge what the demo's truths call for; how many there are now.

    Nothing is added where an action stands already, or where there is no demo.
    """
    site = Site.objects.filter(name=SITE).first()
    engineer = User.objects.filter(username="engineer").first()
    if site is None or engineer is None or Action.objects.exists():
        return 0
    changed = [_dual_seals(site, engineer), _flush_change(site, engineer)]
    _cooled_flush(site, engineer, today)
    _on_the_way(site, engineer, today)
    # Last: what another action changed is no untreated equal any more.
    for action in changed:
        _judge(engineer, action, today)
    return Action.objects.filter(site=site).count()


def _dual_seals(site: Site, by: User) -> Action:
    repairs = _changed(site).exclude(position__tag__in=truths.FLUSH_CHANGED)
    return _done(
        by,
        repairs,
        title="Dual seals for the five worst pumps",
        reason="Most repairs of all in three years, each time the seal.",
        change_made=ChangeMade.DUAL_SEAL,
        cost=92_500,
        judge_after_months=24,
    )


def _flush_change(site: Site, by: User) -> Action:
    repairs = _changed(site).filter(position__tag__in=truths.FLUSH_CHANGED)
    return _done(
        by,
        repairs,
        title="Flush from the discharge instead of a dead end",
        reason="Crystals behind the faces: the chambers of plan 02 stand still.",
        change_made=ChangeMade.PIPING_PLAN,
        cost=4_600,
        judge_after_months=24,
    )


def _cooled_flush(site: Site, by: User, today: date) -> None:
    """Three years ago to the day at the latest, so that its verdict is due."""
    positions = Position.objects.filter(
        site=site, area__name=truths.PLAN_CHANGE_AREA, duty_periods__piping_plan="21"
    ).exclude(tag__in=truths.TRAVEL_TAGS)
    changed = positions.order_by("-duty_periods__starts_on").values_list(
        "duty_periods__starts_on", flat=True
    )
    done_on = min(changed[0], months_before(today, 36))
    action = _decided(
        by,
        list(positions.distinct()),
        done_on - timedelta(days=20),
        due_on=done_on,
        title="Cooled flush for the hot pumps",
        reason="Coked faces in the hot area; the flush comes at boiling point.",
        change_made=ChangeMade.PIPING_PLAN,
        cost=61_000,
        expected_fewer_repairs_per_year=5.0,
        judge_after_months=36,
    )
    action_done(by=by, action=action, done_on=done_on, at=_morning(site, done_on))


def _on_the_way(site: Site, by: User, today: date) -> None:
    """One overdue, one open, one done too lately to judge, one dropped."""
    overdue, still_open = truths.BAD_ACTORS
    hydraulic = {
        "change_made": ChangeMade.HYDRAULIC,
        "reason": "Runs at less than half of its best efficiency flow.",
        "expected_fewer_repairs_per_year": 2.0,
    }
    _decided(
        by,
        _tagged(site, overdue),
        today - timedelta(days=75),
        due_on=today - timedelta(days=18),
        owner=User.objects.get(username="planner"),
        title="Bypass so that the pump never runs below 70 % of best flow",
        cost=11_800,
        **hydraulic,
    )
    _decided(
        by,
        _tagged(site, still_open),
        today - timedelta(days=12),
        due_on=today + timedelta(days=60),
        title="Smaller impeller, duty brought nearer to best efficiency flow",
        cost=7_400,
        **hydraulic,
    )
    _labyrinths(site, by, today - timedelta(days=130))
    _dropped(site, by, today)


def _labyrinths(site: Site, by: User, done_on: date) -> None:
    action = _decided(
        by,
        [],
        done_on - timedelta(days=40),
        due_on=done_on,
        title="Labyrinths instead of lip seals on the bearing housings",
        reason="Water in the oil; bearings corrode long before they wear.",
        change_made=ChangeMade.LUBRICATION,
        population="6311",
        cost=9_900,
    )
    action_done(by=by, action=action, done_on=done_on, at=_morning(site, done_on))


def _dropped(site: Site, by: User, today: date) -> None:
    action = _decided(
        by,
        _tagged(site, truths.COLD_STARTS),
        today - timedelta(days=200),
        due_on=today - timedelta(days=90),
        title="Another seal for the standby",
        reason="It fails when it is started.",
        change_made=ChangeMade.SEAL_TYPE,
    )
    action_drop(
        by=by,
        action=action,
        reason="Its partner runs with the same seal for years: it is the cold start.",
    )


def _tagged(site: Site, tag: str) -> list[Position]:
    return [Position.objects.get(site=site, tag=tag)]


def _changed(site: Site) -> QuerySet[Repair]:
    """Repairs that changed something, the first one first."""
    return (
        Repair.objects.filter(site=site, category=Category.MODIFICATION)
        .select_related("position")
        .order_by("reported_at")
    )


def _done(by: User, repairs: QuerySet[Repair], **decision: Any) -> Action:
    """Decided shortly before the first of these repairs, done with the last."""
    rows = list(repairs)
    site = rows[0].site
    zone = ZoneInfo(site.time_zone)
    first = rows[0].reported_at.astimezone(zone).date()
    last = max(r.returned_at or r.reported_at for r in rows).astimezone(zone).date()
    positions = [row.position for row in rows]
    decided_on = first - timedelta(days=4)
    action = _decided(by, positions, decided_on, due_on=last, site=site, **decision)
    return action_done(by=by, action=action, done_on=last, at=_morning(site, last))


def _decided(by: User, positions: list[Position], on: date, **decision: Any) -> Action:
    site = Site.objects.get(name=SITE)
    fields = {"site": site, "owner": by, "positions": positions, **decision}
    return action_decide_and_freeze(by=by, decided_at=_morning(site, on), **fields)


def _judge(by: User, action: Action, today: date) -> None:
    """The engineer takes what the figures say, once the planned date has come."""
    planned = judge_on(action)
    if planned is None or planned > today:
        return
    found = judgement(action, planned)
    action_judge_and_freeze(
        by=by,
        action=action,
        verdict=VERDICT_OF[found.finding],
        note=found.reason,
        judged_at=_morning(action.site, planned),
    )


def _morning(site: Site, day: date) -> datetime:
    return datetime.combine(day, MORNING, tzinfo=ZoneInfo(site.time_zone))
