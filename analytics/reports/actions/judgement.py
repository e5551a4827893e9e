"""Before and after of one action: looks on the way, one verdict at the planned date."""

from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np
import pandas as pd
from django.core.exceptions import ValidationError

from analytics.exposure import Window
from analytics.in_service import Service
from analytics.judging.expectation import FrozenExpectation as Expected
from analytics.judging.verdict import Finding, Judgement, judge
from analytics.models import FrozenExpectation, FrozenVerdict
from analytics.reports.actions.expectation import Frozen, FrozenUnit
from analytics.reports.actions.lives import LivesCompared, lives_compared
from analytics.reports.actions.units import site_service, units_in
from analytics.reports.bad_actors.report import YEAR_DAYS, UnitKind
from plant import display
from records.action_choices import ActionState
from records.models import Action
from records.selectors.actions import judge_on, months_after

CONFIDENCE = 0.90
LOOKS = (3, 6, 12)
FEWEST_KEPT = 0.02


@dataclass(frozen=True, slots=True)
class After:
    """What the treated units and their untreated equals did in a window after."""

    window: Window
    events: int
    years: tuple[float, ...]
    equal_events: int
    equal_years: float


@dataclass(frozen=True, slots=True)
class Look:
    """A descriptive look so many months after; none of them is a verdict."""

    months: int
    after: After
    expected: float
    low: int
    high: int


@dataclass(frozen=True, slots=True)
class UnitAfter:
    """One treated unit: what it had, was expected to have, and had."""

    unit: FrozenUnit
    events: int
    years: float

    @property
    def expected(self) -> float:
        return self.unit.rate * self.years


@dataclass(frozen=True, slots=True)
class ActionJudgement:
    """What the figures say on a day.

    `finding` is the one verdict, with the data up to the planned date and never later:
    by lives where the change concerns seals or bearings and enough of them failed on
    both sides, else by repairs. Which of the two is told by how much there is to
    judge and never by what it says. `judged` is None while there is nothing to judge.
    """

    action: Action
    stored: FrozenExpectation | None
    frozen: Frozen | None
    as_of: date
    planned_on: date | None
    finding: Finding
    reason: str
    after: After | None = None
    judged: Judgement | None = None
    looks: tuple[Look, ...] = ()
    units: tuple[UnitAfter, ...] = ()
    equals: tuple[FrozenUnit, ...] = ()
    lives: LivesCompared | None = None
    judged_by_lives: bool = False
    kept: FrozenVerdict | None = None
    """The row it was taken back from; None for one worked out from the records."""

    @property
    def is_due(self) -> bool:
        return self.planned_on is not None and self.as_of >= self.planned_on

    @property
    def asks_for_verdict(self) -> bool:
        return self.is_due and self.action.state == ActionState.DONE


def judgement(
    action: Action, as_of: date, service: Service | None = None
) -> ActionJudgement:
    """Judge an action with the records up to a day.

    `service` saves loading the site again; it must hold the window after the action.
    """
    stored = FrozenExpectation.objects.filter(action=action).first()
    frozen = Frozen.from_figures(stored.figures) if stored else None
    planned = judge_on(action)
    answer = ActionJudgement(
        action, stored, frozen, as_of, planned, Finding.TOO_EARLY, ""
    )
    if frozen is None or frozen.expected is None:
        reason = (
            "Nothing was frozen on the day of the decision: no unit was in service."
        )
        return replace(answer, finding=Finding.UNPROVEN, reason=reason)
    if action.done_on is None or planned is None:
        return replace(answer, reason="It is not done yet.")
    if as_of <= action.done_on:
        return replace(answer, reason="It was only just done.")
    return _judged(answer, frozen, frozen.expected, service)


def window_after(action: Action, as_of: date) -> Window | None:
    """From the day after it was done to the planned date, or to `as_of` before it."""
    planned = judge_on(action)
    if action.done_on is None or planned is None or as_of <= action.done_on:
        return None
    return Window(action.done_on + timedelta(days=1), min(as_of, planned))


def _judged(
    answer: ActionJudgement, frozen: Frozen, expected: Expected, service: Service | None
) -> ActionJudgement:
    window = window_after(answer.action, answer.as_of)
    assert window is not None
    service = service or site_service(answer.action.site, window)
    equals = untreated(answer.action, frozen, window)
    table = _counts(service, frozen, window)
    after = _after(table, frozen, equals, window)
    answer = replace(
        answer,
        after=after,
        equals=equals,
        units=_units_after(table, frozen),
        looks=_looks(answer, service, frozen, expected, equals),
        lives=lives_compared(answer.action, frozen, window.end, is_due=answer.is_due),
    )
    if expected.expected(after.years) < FEWEST_KEPT:
        reason = "The units were hardly in service since it was done."
        finding = Finding.UNPROVEN if answer.is_due else Finding.TOO_EARLY
        return replace(answer, finding=finding, reason=reason)
    judged = judge(
        beside(expected, equals),
        after.events,
        after.years,
        after.equal_events,
        after.equal_years,
        CONFIDENCE,
        is_due=answer.is_due,
        promised=promised(answer.action, expected),
    )
    answer = replace(answer, judged=judged)
    if answer.lives is not None and answer.lives.can_tell:
        found = answer.lives.judged
        assert found is not None
        return _concluded(answer, found.finding, found.reason, by_lives=True)
    return _concluded(answer, judged.finding, judged.reason, by_lives=False)


def _concluded(
    answer: ActionJudgement, finding: Finding, reason: str, *, by_lives: bool
) -> ActionJudgement:
    return replace(answer, finding=finding, reason=reason, judged_by_lives=by_lives)


def beside(expected: Expected, equals: tuple[FrozenUnit, ...]) -> Expected:
    """The expectation with what the equals that are still untreated would show."""
    years = sum(unit.years for unit in equals)
    rate = sum(unit.rate * unit.years for unit in equals) / years if years else 0.0
    events = sum(unit.events for unit in equals)
    return replace(expected, equal_rate=rate, equal_events=events)


def promised(action: Action, expected: Expected) -> float:
    """Ratio of after to before that the decision hoped for; half if it did not say."""
    fewer = action.expected_fewer_repairs_per_year
    rate = float(expected.rates().sum())
    if fewer is None or rate <= 0:
        return 0.5
    return min(max(1.0 - fewer / rate, 0.05), 0.9)


def refuse_more_than_expected(action: Action, frozen: Frozen) -> None:
    """Refuse to hope for fewer repairs than there would be without the action."""
    fewer = action.expected_fewer_repairs_per_year
    if fewer is None or frozen.expected is None:
        return
    expected = float(frozen.expected.rates().sum())
    if fewer > expected:
        raise ValidationError(
            {
                "expected_fewer_repairs_per_year": "More than there are to save: "
                f"without the action {display.fixed(expected, 2)} repairs a year are "
                "expected of these units together."
            }
        )


def untreated(action: Action, frozen: Frozen, window: Window) -> tuple[FrozenUnit, ...]:
    """Equals of the decision's day that no other action had changed by the end."""
    others = Action.objects.filter(
        site=action.site, done_on__isnull=False, done_on__lte=window.end
    ).exclude(pk=action.pk)
    if frozen.kind == UnitKind.MACHINE:
        changed = set(others.values_list("pump", flat=True))
    else:
        changed = set(others.values_list("positions", flat=True))
    return tuple(unit for unit in frozen.equals if unit.key not in changed)


def counts_after(
    service: Service, frozen: Frozen, equals: tuple[FrozenUnit, ...], window: Window
) -> After:
    """Counts of the treated units and of their equals inside a window."""
    return _after(_counts(service, frozen, window), frozen, equals, window)


def _counts(service: Service, frozen: Frozen, window: Window) -> pd.DataFrame:
    """Separate events and years in service by key."""
    units = units_in(service, UnitKind(frozen.kind), window).set_index("key")
    years = units["days"] / YEAR_DAYS
    return pd.DataFrame({"events": units["events"].astype(int), "years": years})


def _after(
    table: pd.DataFrame, frozen: Frozen, equals: tuple[FrozenUnit, ...], window: Window
) -> After:
    own = table.reindex([unit.key for unit in frozen.treated]).fillna(0.0)
    others = table.reindex([unit.key for unit in equals]).fillna(0.0)
    return After(
        window=window,
        events=int(own["events"].sum()),
        years=tuple(own["years"].tolist()),
        equal_events=int(others["events"].sum()),
        equal_years=float(others["years"].sum()),
    )


def _units_after(table: pd.DataFrame, frozen: Frozen) -> tuple[UnitAfter, ...]:
    own = table.reindex([unit.key for unit in frozen.treated]).fillna(0.0)
    return tuple(
        UnitAfter(unit, int(events), float(years))
        for unit, events, years in zip(
            frozen.treated, own["events"], own["years"], strict=True
        )
    )


def _looks(
    answer: ActionJudgement,
    service: Service,
    frozen: Frozen,
    expected: Expected,
    equals: tuple[FrozenUnit, ...],
) -> tuple[Look, ...]:
    """Looks that have come, up to the planned date."""
    done_on, planned = answer.action.done_on, answer.planned_on
    assert done_on is not None
    assert planned is not None
    looks = []
    for months in LOOKS:
        end = months_after(done_on, months)
        if end > min(answer.as_of, planned):
            break
        window = Window(done_on + timedelta(days=1), end)
        after = counts_after(service, frozen, equals, window)
        low, high = likely_counts(expected, after.years)
        looks.append(Look(months, after, expected.expected(after.years), low, high))
    return tuple(looks)


def likely_counts(expected: Expected, years: tuple[float, ...]) -> tuple[int, int]:
    """Counts between which nine in ten lie if nothing changed."""
    if not sum(years):
        return 0, 0
    sums = np.cumsum(expected.count_chances(years))
    half = 0.5 * (1.0 - CONFIDENCE)
    return int(np.searchsorted(sums, half)), int(np.searchsorted(sums, 1.0 - half))
