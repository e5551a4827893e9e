"""At which positions a kind of change was made, and on which days."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import groupby, pairwise
from typing import Any
from zoneinfo import ZoneInfo

from django.db.models import Q

from analytics.exposure import Window
from analytics.reports.life.question import COMPONENTS
from analytics.reports.upgrades.typed import Population
from analytics.scope import Scope
from plant.models import DutyPeriod, FittedLife
from records.action_choices import ChangeMade
from records.models import Action

Row = tuple[Any, ...]


@dataclass(frozen=True, slots=True)
class ChangeDays:
    """The last day of the old state and the first whole one of the new."""

    until: date
    since: date


@dataclass(frozen=True, slots=True)
class ChangesFound:
    """Days by position, where they come from in words, and what was left out."""

    days: dict[int, ChangeDays]
    source: str
    note: str = ""


def changes_found(
    scope: Scope, change_made: str, old: Population, new: Population, but: int | None
) -> ChangesFound:
    """Changes from the old to the new, or of done actions if no new is named.

    `but` is an action that does not count: the one that the case became.
    """
    if new.part:
        return _parts_changed(scope, old, new)
    if new.plan:
        return _plans_changed(scope, old.plan, new.plan)
    return _by_actions(scope, change_made, but)


def _by_actions(scope: Scope, change_made: str, but: int | None) -> ChangesFound:
    actions = (
        Action.objects.visible_to(scope.user)
        .filter(
            change_made=change_made,
            done_on__isnull=False,
            done_on__lt=scope.window.end,
        )
        .filter(Q() if but is None else ~Q(pk=but))
        .order_by("-done_on", "-pk")
    )
    rows: Iterable[Row] = actions.values_list(
        *("positions", "decided_at", "done_on", "site__time_zone")
    )
    days: dict[int, ChangeDays] = {}
    nowhere = 0
    # The latest first, so that the earliest change of a position is what stays.
    for position, decided_at, done_on, zone in rows:
        if position is None:
            nowhere += 1
            continue
        decided_on = decided_at.astimezone(ZoneInfo(zone)).date()
        days[position] = ChangeDays(
            min(decided_on, done_on), done_on + timedelta(days=1)
        )
    note = ""
    if nowhere:
        note = (
            f"Actions without positions, on one machine or a kind of part, are left "
            f"out: {nowhere}."
        )
    label = ChangeMade(change_made).label.lower()
    return ChangesFound(days, f"done actions with the change {label!r}", note)


def _plans_changed(scope: Scope, old: str, new: str) -> ChangesFound:
    rows = DutyPeriod.objects.filter(
        position__in=scope.positions().order_by().values("pk"),
        starts_on__lte=scope.window.end,
    ).order_by("position", "starts_on")
    moves = rows.values_list("position", "starts_on", "piping_plan")
    days: dict[int, ChangeDays] = {}
    for position, before, after in _pairs(moves):
        is_old = before[2] == old if old else before[2] not in ("", new)
        if is_old and after[2] == new:
            on = after[1]
            days.setdefault(position, ChangeDays(on - timedelta(days=1), on))
    words = f"plan {old or 'of any other kind'} to plan {new}, dated at the position"
    return ChangesFound(days, words)


def _parts_changed(scope: Scope, old: Population, new: Population) -> ChangesFound:
    """From the first part of the new kind at a position that had the old before."""
    lives = FittedLife.objects.filter(
        component__in=COMPONENTS[new.component],
        position__in=scope.positions().order_by().values("pk"),
    ).order_by("position", "location", "fitted_at")
    rows = lives.values_list(
        *("position", "fitted_at", "part_number", "designation", "piping_plan"),
        *("location", "pump__site__time_zone"),
    )
    days: dict[int, ChangeDays] = {}
    for position, before, after in _pairs(rows):
        same_place = before[5] == after[5]
        if same_place and _is(after, new) and not _is(before, new) and _is(before, old):
            on = _day(after[1], after[6])
            if on < scope.window.end:
                days.setdefault(position, ChangeDays(on, on + timedelta(days=1)))
    words = f"{old.in_words if old.is_named else 'any other part'} to {new.in_words}"
    return ChangesFound(days, f"parts fitted: {words}")


def _is(life: tuple[Any, ...], kind: Population) -> bool:
    fits_part = not kind.part or kind.part in (life[2], life[3])
    return fits_part and (not kind.plan or kind.plan == life[4])


def _day(moment: datetime, zone: str) -> date:
    return moment.astimezone(ZoneInfo(zone)).date()


def _pairs(rows: Iterable[Row]) -> Iterator[tuple[int, Row, Row]]:
    """Each row with the one before it at the same position."""
    for position, of_position in groupby(rows, key=lambda row: row[0]):
        for before, after in pairwise(of_position):
            yield position, before, after


def all_changed(scope: Scope) -> set[int]:
    """Positions where any action was done, or the plan changed: they are no equals."""
    window = scope.window
    actions = Action.objects.visible_to(scope.user).filter(
        done_on__range=(window.start, window.end)
    )
    acted = set(actions.values_list("positions", flat=True)) - {None}
    return acted | _plan_changed_in(scope, window)


def _plan_changed_in(scope: Scope, window: Window) -> set[int]:
    periods = DutyPeriod.objects.filter(
        position__in=scope.positions().order_by().values("pk"),
        starts_on__lte=window.end,
    ).order_by("position", "starts_on")
    moves = periods.values_list("position", "starts_on", "piping_plan")
    return {
        position
        for position, before, after in _pairs(moves)
        if after[1] >= window.start and before[2] != after[2]
    }
