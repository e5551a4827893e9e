"""Questions from lives: too short here, dying young, or of one wear-out age."""

from collections.abc import Sequence
from dataclasses import dataclass

from analytics.life.replacement import age_replacement
from analytics.life.weibull import WeibullFit
from analytics.reports.story.costs import UsualCost
from analytics.reports.story.questions.question import (
    SELDOM,
    Question,
    at_least_events,
    expected_words,
)
from plant.display import count, fixed, hours, interval, money, percent

LEAST_EARLY = 3
LEAST_TIMES = 2.0
# Below this shape renewal by age saves little; its lower limit has to reach it.
WEARS_OUT = 1.5
LEAST_WORN = 15
UNKNOWN_COST = "Type the costs on the Life page for the best age."


@dataclass(frozen=True, slots=True)
class PartFacts:
    """Own failures of one part before the B10 age of others, and those expected."""

    label: str
    early: int
    early_expected: float
    b10: float


def short_lives(parts: Sequence[PartFacts]) -> Question | None:
    """More early failures than the same parts have elsewhere."""
    short = [part for part in parts if _is_short_lived(part)]
    if not short:
        return None
    names = "; ".join(
        f"{part.label}: {count(part.early, 'failure')} before {hours(part.b10)}, "
        f"{expected_words(part.early_expected)}"
        for part in short
    )
    return Question(
        "Short lives",
        "Is it the fitting (settings, alignment, handling, start-up) or the duty that "
        "ends these lives early?",
        f"Against the age that one in ten fails by elsewhere. {names}.",
    )


def _is_short_lived(part: PartFacts) -> bool:
    is_many = part.early >= max(LEAST_EARLY, LEAST_TIMES * part.early_expected)
    return is_many and at_least_events(part.early, part.early_expected) <= SELDOM


def dying_young(
    label: str, population: str, fit: WeibullFit, bar_worst: WeibullFit | None
) -> Question | None:
    """A population that fails less the older it is: fitting, not wear.

    It has to hold without the position where most failed, too.
    """
    fits = (fit, bar_worst)
    if any(one is None or one.shape_interval.high >= 1 for one in fits):
        return None
    return Question(
        f"Early failures: {label}",
        "What goes wrong at fitting and start-up of this part: alignment, settings, "
        "cleanliness, venting?",
        f"{population}: shape {fixed(fit.shape, 2)} ({_limits(fit)}) of "
        f"{count(fit.failures, 'failure')}, wholly below 1: most fail soon after "
        "fitting, and renewing sound ones early does harm.",
    )


def wears_out(
    label: str, population: str, fit: WeibullFit, cost: UsualCost | None
) -> Question | None:
    """A population with one wear-out age: would planned replacement pay?

    Not asked where the costs on record answer it with no.
    """
    if fit.failures < LEAST_WORN or fit.shape_interval.low < WEARS_OUT:
        return None
    b10 = hours(fit.b_life(10).value)
    age, paid = _best_age(fit, cost) if cost is not None else (None, UNKNOWN_COST)
    if cost is not None and age is None:
        return None
    when = f"at about {hours(age)}" if age is not None else f"before {b10}"
    return Question(
        f"Wears out: {label}",
        f"Would replacement {when}, at a stop that comes anyway, be better than "
        "waiting for the failure?",
        f"{population}: shape {fixed(fit.shape, 2)} ({_limits(fit)}) of "
        f"{count(fit.failures, 'failure')}; one in ten fails by {b10}. {paid}",
    )


def _best_age(fit: WeibullFit, cost: UsualCost) -> tuple[float | None, str]:
    """By repair cost alone where that pays, else with lost production counted too."""
    planned, failure = cost.planned, cost.failure
    words = (
        f"repair cost {_amount(planned.repair, cost)} planned "
        f"({count(planned.repairs, 'repair')}) and {_amount(failure.repair, cost)} "
        f"after a failure ({count(failure.repairs, 'repair')})"
    )
    lost = (
        f"{words}, with lost production of {_amount(planned.production, cost)} and "
        f"{_amount(failure.production, cost)}"
    )
    whole = (
        planned.repair + planned.production,
        failure.repair + failure.production,
    )
    for costs, said in (((planned.repair, failure.repair), words), (whole, lost)):
        policy = age_replacement(fit.shape, fit.scale, *costs)
        if policy.worthwhile:
            saved = f"{percent(policy.saving)} below running to failure"
            return policy.age, f"Best age at {said}: {saved}."
    return None, ""


def _amount(value: float, cost: UsualCost) -> str:
    return money(round(value), cost.currency, 0)


def _limits(fit: WeibullFit) -> str:
    limits = fit.shape_interval
    words = interval(limits.low, limits.high, lambda value: fixed(value, 2))
    return f"{percent(limits.confidence)} interval {words}"
