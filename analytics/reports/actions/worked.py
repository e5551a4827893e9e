"""What worked across the fleet, by kind of change: which upgrade pays here."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

import numpy as np
from scipy import optimize, special

from analytics.exposure import Window
from analytics.in_service import Service
from analytics.judging.expectation import FrozenExpectation as Expected
from analytics.models import FrozenExpectation
from analytics.reports.actions.expectation import Frozen
from analytics.reports.actions.judgement import (
    CONFIDENCE,
    After,
    counts_after,
    untreated,
    window_after,
)
from analytics.reports.actions.units import site_service
from plant.models import Site, User
from records.action_choices import ActionState, ChangeMade
from records.models import Action
from records.selectors.actions import actions_visible, judge_on

LEAST_LOG, GREATEST_LOG = np.log(1e-3), np.log(1e3)


@dataclass(frozen=True, slots=True)
class Effect:
    """One action at its planned date."""

    action: Action
    after: After
    units: int
    expected: float
    variance: float
    """Of the expected count, for what is not known of the rates."""
    equal_expected: float


@dataclass(frozen=True, slots=True)
class WorkedLine:
    """All actions of one kind of change together."""

    change: ChangeMade
    effects: tuple[Effect, ...]
    low: float
    high: float

    @property
    def events(self) -> int:
        return sum(effect.after.events for effect in self.effects)

    @property
    def expected(self) -> float:
        return sum(effect.expected for effect in self.effects)

    @property
    def ratio(self) -> float:
        return self.events / self.expected

    @property
    def equal_ratio(self) -> float | None:
        """The same of the untreated equals: what time alone did."""
        expected = sum(effect.equal_expected for effect in self.effects)
        counted = sum(effect.after.equal_events for effect in self.effects)
        return counted / expected if expected else None

    @property
    def units(self) -> int:
        return sum(effect.units for effect in self.effects)

    @property
    def fewer_a_year(self) -> float:
        """Events saved a year by all units together, as counted."""
        return sum(
            (effect.expected - effect.after.events) * effect.units / sum(years)
            for effect in self.effects
            if (years := effect.after.years) and sum(years) > 0
        )

    @property
    def costs(self) -> dict[str, Decimal]:
        sums: dict[str, Decimal] = {}
        for effect in self.effects:
            cost, currency = effect.action.cost, effect.action.currency
            if cost is not None:
                sums[currency] = sums.get(currency, Decimal(0)) + cost
        return sums

    @property
    def verdicts(self) -> list[str]:
        return [effect.action.verdict for effect in self.effects]


@dataclass(frozen=True, slots=True)
class Worked:
    """Lines by ratio, the best first, and how many actions are still too early."""

    lines: list[WorkedLine]
    too_early: int


def worked(user: User, as_of: date, site: Site | None = None) -> Worked:
    """Judge every kind of change by the actions whose planned date has come."""
    rows = actions_visible(user).filter(
        state__in=[ActionState.DONE, ActionState.JUDGED]
    )
    if site is not None:
        rows = rows.filter(site=site)
    actions = list(rows.order_by("site", "pk"))
    come = [a for a in actions if (planned := judge_on(a)) and planned <= as_of]
    effects = _effects(come, as_of)
    lines = [
        _line(change, [e for e in effects if e.action.change_made == change])
        for change in ChangeMade
        if any(e.action.change_made == change for e in effects)
    ]
    return Worked(sorted(lines, key=lambda w: w.ratio), len(actions) - len(come))


def _effects(actions: Sequence[Action], as_of: date) -> list[Effect]:
    stored = {
        row.action_id: Frozen.from_figures(row.figures)
        for row in FrozenExpectation.objects.filter(action__in=actions)
    }
    windows = {a.pk: window_after(a, as_of) for a in actions}
    effects = []
    for site, service in _services(actions, windows).items():
        for action in actions:
            frozen, window = stored.get(action.pk), windows[action.pk]
            if action.site_id != site or frozen is None or window is None:
                continue
            effect = _effect(action, frozen, window, service)
            if effect is not None:
                effects.append(effect)
    return effects


def _services(
    actions: Sequence[Action], windows: dict[int, Window | None]
) -> dict[int, Service]:
    """Each site loaded once, for a window that holds those of all its actions."""
    services: dict[int, Service] = {}
    for site in {action.site_id: action.site for action in actions}.values():
        own = [windows[a.pk] for a in actions if a.site_id == site.pk]
        known = [window for window in own if window is not None]
        if known:
            start = min(window.start for window in known)
            whole = Window(start, max(window.end for window in known))
            services[site.pk] = site_service(site, whole)
    return services


def _effect(
    action: Action, frozen: Frozen, window: Window, service: Service
) -> Effect | None:
    if frozen.expected is None:
        return None
    equals = untreated(action, frozen, window)
    after = counts_after(service, frozen, equals, window)
    mean, variance = count_moments(frozen.expected, after.years)
    if mean <= 0:
        return None
    known = sum(unit.years for unit in equals)
    rate = sum(unit.rate * unit.years for unit in equals)
    return Effect(
        action=action,
        after=after,
        units=len(frozen.treated),
        expected=mean,
        variance=variance,
        equal_expected=rate / known * after.equal_years if known else 0.0,
    )


def count_moments(expected: Expected, years: Sequence[float]) -> tuple[float, float]:
    """Mean and variance of the rates of all units together over the time after."""
    time, weights = np.asarray(years), np.array(expected.weights)
    alphas, means = np.array(expected.alphas), np.array(expected.means)
    shape = alphas[:, None] + np.array(expected.events)
    rate = (alphas / means)[:, None] + np.array(expected.exposures)
    mean = (shape / rate * time).sum(axis=1)
    variance = (shape / rate**2 * time**2).sum(axis=1)
    whole = float(weights @ mean)
    return whole, float(weights @ (variance + mean**2) - whole**2)


def _line(change: ChangeMade, effects: list[Effect]) -> WorkedLine:
    low, high = pooled_limits(
        sum(effect.after.events for effect in effects),
        sum(effect.expected for effect in effects),
        sum(effect.variance for effect in effects),
    )
    return WorkedLine(change, tuple(effects), low, high)


def pooled_limits(events: int, expected: float, variance: float) -> tuple[float, float]:
    """Limits of the ratio of what came to what was expected, for several actions.

    The rates of all units together are taken as one gamma variable with their mean
    and variance, so that counts are negative binomial.
    """
    half = 0.5 * (1.0 - CONFIDENCE)
    size = expected**2 / max(variance, 1e-9 * expected**2)

    def at_most(count: int, log_ratio: float) -> float:
        share = size / (size + expected * np.exp(log_ratio))
        return float(special.betainc(size, count + 1.0, share))

    high = optimize.brentq(
        lambda place: at_most(events, place) - half, LEAST_LOG, GREATEST_LOG
    )
    if events == 0:
        return 0.0, float(np.exp(high))
    low = optimize.brentq(
        lambda place: at_most(events - 1, place) - (1.0 - half), LEAST_LOG, GREATEST_LOG
    )
    return float(np.exp(low)), float(np.exp(high))
