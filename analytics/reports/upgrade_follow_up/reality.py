"""What came of a case: the figures of its action's judgement beside the promise."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.utils import timezone

from analytics.exposure import Window
from analytics.judging.verdict import Finding, Judgement
from analytics.life.mtbf import mtbf_interval
from analytics.reports.actions.judgement import ActionJudgement, judgement
from analytics.reports.actions.kept import judgement_kept
from analytics.reports.actions.units import WHOLE_SITE
from analytics.reports.upgrade_follow_up.booked import BookedCost, modification_cost
from analytics.reports.upgrade_follow_up.figures import Figure
from analytics.reports.upgrade_follow_up.promise import Promise
from analytics.reports.upgrades.assumptions import Assumptions, WhatFails
from analytics.reports.upgrades.figures import CONFIDENCE
from analytics.reports.upgrades.history import failure_history
from plant.zones import site_zone
from records.action_choices import ActionState
from records.models import Action, UpgradeCase


@dataclass(frozen=True, slots=True)
class Reality:
    """Figures a year are of all positions together, in the currency of the case."""

    failures: Figure
    """Failures a year since it was done, of the kind that the case counts."""
    expected: Figure
    """Repairs a year if nothing had been changed, as frozen with the decision."""
    observed: Figure
    """Repairs a year since the day it was done."""
    saving: Figure
    """Repairs avoided a year times what the case said that one failure costs."""
    saved_so_far: Figure
    """The same for the time since it was done."""


@dataclass(frozen=True, slots=True)
class FollowUp:
    """Promise and reality of one case on a day.

    `reality` is None while there is nothing to count; `judged` says why.
    """

    case: UpgradeCase
    action: Action
    promise: Promise
    judged: ActionJudgement
    modifications: int
    costs: list[BookedCost]
    reality: Reality | None

    @property
    def is_too_early(self) -> bool:
        return self.judged.finding is Finding.TOO_EARLY

    @property
    def other_currencies(self) -> list[BookedCost]:
        return [c for c in self.costs if c.currency != self.promise.currency]

    @property
    def own_cost(self) -> BookedCost | None:
        own = [c for c in self.costs if c.currency == self.promise.currency]
        return own[0] if own else None


def follow_up(case: UpgradeCase, as_of: date) -> FollowUp | None:
    """Set reality beside the promise; None for a case that is no action yet."""
    action = case.action
    if action is None or case.promise is None:
        return None
    promise = Promise.from_json(case.promise)
    # After the verdict by the figures that it rested on, as the page of the action.
    judged = judgement_kept(action) or judgement(action, as_of)
    with site_zone(case.site):
        decided_on = timezone.localdate(action.decided_at)
    repairs, costs = modification_cost(case, decided_on, action.done_on or as_of)
    return FollowUp(
        case, action, promise, judged, repairs, costs, _reality(case, judged, promise)
    )


def is_dropped(found: FollowUp) -> bool:
    return found.action.state == ActionState.DROPPED


def what_fails(case: UpgradeCase) -> WhatFails:
    return Assumptions.from_json(case.assumptions).what_fails


def _reality(
    case: UpgradeCase, found: ActionJudgement, promise: Promise
) -> Reality | None:
    if found.after is None or found.judged is None:
        return None
    years = sum(found.after.years)
    each_year = len(found.after.years) / years
    so_far = saved(found.judged, promise.cost_per_failure)
    return Reality(
        failures=failure_rate(case, found.after.window),
        expected=expected_rate(found.judged, each_year),
        observed=observed_rate(found.after.events, found.after.years),
        saving=scaled(so_far, each_year),
        saved_so_far=so_far,
    )


def failure_rate(case: UpgradeCase, window: Window) -> Figure:
    """Failures a year at its positions, of its kind, in a window."""
    history = failure_history(WHOLE_SITE, window.end, window.start, what_fails(case))
    chosen = history.chosen(set(case.positions.values_list("pk", flat=True)))
    events, years = history.in_window(window)
    return observed_rate(int(events[chosen].sum()), years[chosen].tolist())


def observed_rate(events: int, years: Sequence[float]) -> Figure:
    """Events a year of all units together, with exact limits of the count."""
    if not sum(years):
        return Figure(None, reason="None of the positions was in service.")
    rate = mtbf_interval(sum(years) / len(years), events, CONFIDENCE)
    low, high = 1.0 / rate.interval.high, 1.0 / rate.interval.low
    return Figure(1.0 / rate.estimate if rate.estimate else 0.0, low, high)


def expected_rate(judged: Judgement, each_year: float) -> Figure:
    """Repairs a year if nothing changed; nine in ten counts lie between the limits."""
    low, high = judged.expected_interval
    return scaled(Figure(judged.expected, low, high), each_year)


def saved(judged: Judgement, cost: float) -> Figure:
    """Money saved since it was done: repairs avoided at the promised cost of one.

    The limits are those of the ratio of counted to expected.
    """
    ratio, whole = judged.ratio_interval, judged.expected * cost
    return Figure(
        whole * (1.0 - judged.ratio),
        whole * (1.0 - ratio.high),
        whole * (1.0 - ratio.low),
    )


def scaled(figure: Figure, factor: float) -> Figure:
    value, low, high = (
        None if number is None else number * factor
        for number in (figure.value, figure.low, figure.high)
    )
    return Figure(value, low, high)
