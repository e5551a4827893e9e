"""What worked across the fleet, by kind of change: which upgrade pays here."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

import numpy as np
from scipy import optimize, special

from analytics.exposure import Window
from analytics.in_service import Service
from analytics.judging.expectation import FrozenExpectation as Expected
from analytics.models import FrozenExpectation, FrozenVerdict
from analytics.reports.actions.expectation import Frozen, FrozenUnit
from analytics.reports.actions.judgement import (
    CONFIDENCE,
    After,
    counts_after,
    untreated,
    window_after,
)
from analytics.reports.actions.kept import judgement_of
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
    kept_on: date | None = None
    """The day whose records count where the verdict keeps its figures; else None."""


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
    """Figures kept with a verdict go before what the records say today."""
    rows = FrozenExpectation.objects.filter(action__in=actions)
    stored = {row.action_id: row for row in rows}
    verdicts = FrozenVerdict.objects.filter(action__in=actions)
    kept = {row.action_id: row for row in verdicts if row.action_id in stored}
    from_records = [a for a in actions if a.pk in stored and a.pk not in kept]
    windows = {a.pk: window_after(a, as_of) for a in from_records}
    services = _services(from_records, windows)
    found = {
        action.pk: _kept_effect(action, kept[action.pk], stored[action.pk])
        for action in actions
        if action.pk in kept
    }
    for action in from_records:
        frozen = Frozen.from_figures(stored[action.pk].figures)
        window = windows[action.pk]
        if window is not None:
            service = services[action.site_id]
            found[action.pk] = _counted_effect(action, frozen, window, service)
    effects = [found.get(action.pk) for action in actions]
    return [effect for effect in effects if effect is not None]


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


def _kept_effect(
    action: Action, kept: FrozenVerdict, stored: FrozenExpectation
) -> Effect | None:
    found = judgement_of(action, kept, stored)
    if found.after is None or found.frozen is None:
        return None
    effect = _effect(action, found.frozen, found.equals, found.after)
    if effect is None or found.judged is None:
        return effect
    return replace(effect, expected=found.judged.expected, kept_on=kept.as_of)


def _counted_effect(
    action: Action, frozen: Frozen, window: Window, service: Service
) -> Effect | None:
    equals = untreated(action, frozen, window)
    after = counts_after(service, frozen, equals, window)
    return _effect(action, frozen, equals, after)


def _effect(
    action: Action, frozen: Frozen, equals: tuple[FrozenUnit, ...], after: After
) -> Effect | None:
    if frozen.expected is None:
        return None
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
    return expected.moments(years)


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
