"""The figures of a verdict as plain data, and the judgement they stand for taken back.

What is taken back is shown by the same functions as one worked out today. It holds
everything the page and the list of what worked say; only the two Weibull fits behind
a comparison of lives are kept by their mean lives and chance alone.
"""

import hashlib
import json
from dataclasses import asdict
from datetime import date
from typing import Any

from analytics.exposure import Window
from analytics.judging.lives import LifeJudgement
from analytics.judging.verdict import Finding, Judgement
from analytics.life.compare import rate_ratio
from analytics.life.results import Interval
from analytics.models import FrozenExpectation, FrozenVerdict
from analytics.reports.actions.expectation import Frozen
from analytics.reports.actions.judgement import (
    CONFIDENCE,
    ActionJudgement,
    After,
    Look,
    UnitAfter,
)
from analytics.reports.actions.lives import LivesCompared
from records.models import Action
from records.selectors.actions import judge_on

Figures = dict[str, Any]


def figures_of(found: ActionJudgement) -> Figures:
    """Everything said of a judgement beyond what was frozen with the decision."""
    return {
        "finding": str(found.finding),
        "reason": found.reason,
        "judged_by_lives": found.judged_by_lives,
        "after": _after(found.after),
        "judged": _judged(found.judged),
        "looks": [
            {
                "months": look.months,
                "after": _after(look.after),
                "expected": look.expected,
                "low": look.low,
                "high": look.high,
            }
            for look in found.looks
        ],
        "units": [
            {"key": one.unit.key, "events": one.events, "years": one.years}
            for one in found.units
        ],
        "equals": [unit.key for unit in found.equals],
        "lives": _lives(found.lives),
    }


def figures_version(found: ActionJudgement) -> str:
    """Short text that is another one when any figure is."""
    text = json.dumps(figures_of(found), sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def _after(after: After | None) -> Figures | None:
    if after is None:
        return None
    return {
        "start": str(after.window.start),
        "end": str(after.window.end),
        "events": after.events,
        "years": list(after.years),
        "equal_events": after.equal_events,
        "equal_years": after.equal_years,
    }


def _judged(judged: Judgement | None) -> Figures | None:
    if judged is None:
        return None
    return {
        "finding": str(judged.finding),
        "reason": judged.reason,
        "events": judged.events,
        "expected": judged.expected,
        "expected_interval": list(judged.expected_interval),
        "ratio": judged.ratio,
        "ratio_interval": asdict(judged.ratio_interval),
        "chance": judged.chance,
        "chance_beside_equals": judged.chance_beside_equals,
    }


def _lives(lives: LivesCompared | None) -> Figures | None:
    if lives is None:
        return None
    judged = lives.judged
    return {
        "parts": lives.parts,
        "before": lives.before,
        "after": lives.after,
        "judged": None
        if judged is None
        else {
            "finding": str(judged.finding),
            "reason": judged.reason,
            "failures_before": judged.failures_before,
            "failures_after": judged.failures_after,
            "mean_before": judged.mean_before,
            "mean_after": judged.mean_after,
            "p_value": judged.p_value,
        },
    }


def judgement_kept(action: Action) -> ActionJudgement | None:
    """The judgement that the verdict rested on; None where its figures were not kept.

    At most two queries.
    """
    kept = FrozenVerdict.objects.filter(action=action).first()
    if kept is None:
        return None
    stored = FrozenExpectation.objects.filter(action=action).first()
    return judgement_of(action, kept, stored)


def judgement_of(
    action: Action, kept: FrozenVerdict, stored: FrozenExpectation | None
) -> ActionJudgement:
    """The judgement out of stored rows, without a query."""
    figures: Figures = kept.figures
    frozen = Frozen.from_figures(stored.figures) if stored else None
    after = _after_of(figures["after"])
    equals = set(figures["equals"])
    return ActionJudgement(
        action=action,
        stored=stored,
        frozen=frozen,
        as_of=kept.as_of,
        planned_on=judge_on(action),
        finding=Finding(figures["finding"]),
        reason=figures["reason"],
        after=after,
        judged=_judged_of(figures["judged"], after),
        looks=tuple(_look_of(look) for look in figures["looks"]),
        units=_units_of(figures, frozen),
        equals=tuple(u for u in frozen.equals if u.key in equals) if frozen else (),
        lives=_lives_of(figures["lives"]),
        judged_by_lives=figures["judged_by_lives"],
        kept=kept,
    )


def _after_of(figures: Figures | None) -> After | None:
    if figures is None:
        return None
    start, end = (date.fromisoformat(figures[name]) for name in ("start", "end"))
    return After(
        window=Window(start, end),
        events=figures["events"],
        years=tuple(figures["years"]),
        equal_events=figures["equal_events"],
        equal_years=figures["equal_years"],
    )


def _look_of(figures: Figures) -> Look:
    after = _after_of(figures["after"])
    assert after is not None
    return Look(
        figures["months"], after, figures["expected"], figures["low"], figures["high"]
    )


def _units_of(figures: Figures, frozen: Frozen | None) -> tuple[UnitAfter, ...]:
    if frozen is None:
        return ()
    unit_of = {unit.key: unit for unit in frozen.treated}
    return tuple(
        UnitAfter(unit_of[one["key"]], one["events"], one["years"])
        for one in figures["units"]
    )


def _judged_of(figures: Figures | None, after: After | None) -> Judgement | None:
    if figures is None or after is None:
        return None
    low, high = figures["expected_interval"]
    counts = (figures["events"], sum(after.years), after.equal_events)
    against = None
    if after.equal_years > 0:
        against = rate_ratio(*counts, after.equal_years, CONFIDENCE)
    return Judgement(
        finding=Finding(figures["finding"]),
        reason=figures["reason"],
        events=figures["events"],
        expected=figures["expected"],
        expected_interval=(low, high),
        ratio=figures["ratio"],
        ratio_interval=Interval(**figures["ratio_interval"]),
        chance=figures["chance"],
        chance_beside_equals=figures["chance_beside_equals"],
        against_equals=against,
    )


def _lives_of(figures: Figures | None) -> LivesCompared | None:
    if figures is None:
        return None
    judged = figures["judged"]
    found = None
    if judged is not None:
        found = LifeJudgement(**{**judged, "finding": Finding(judged["finding"])})
    return LivesCompared(figures["parts"], figures["before"], figures["after"], found)
