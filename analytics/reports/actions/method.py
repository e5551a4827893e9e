"""How a verdict is reckoned, in words that are kept with it."""

from analytics.judging.lives import LEAST_FAILURES
from analytics.reports.actions.judgement import CONFIDENCE, ActionJudgement
from analytics.reports.actions.lives import LIFE_RULE
from analytics.reports.actions.units import WHOLE_SITE
from analytics.scope import Scope
from plant.display import percent

RARE = percent((1.0 - CONFIDENCE) / 2)
BY_REPAIRS = (
    "What was expected is what was frozen with the decision, by the method kept there. "
    f"By repairs it works where so few would have come in at most {RARE} of cases had "
    "nothing changed, and as rarely had the units changed as their untreated equals "
    f"did. It does not work where so many would have come in at most {RARE} of cases "
    "had what was hoped for come true. All else is unproven."
)
BY_LIVES = (
    f"Where at least {LEAST_FAILURES} lives ended with a failure on both sides, lives "
    "decide instead: one Weibull distribution for both sides against one for each, "
    f"beyond chance at {percent(1.0 - CONFIDENCE)}."
)


def verdict_method(found: ActionJudgement) -> str:
    """Method of the verdict, and the counting rule of the day."""
    words = [BY_REPAIRS]
    if found.lives is not None:
        words += [BY_LIVES, LIFE_RULE]
    if found.after is not None:
        scope = Scope(WHOLE_SITE, found.after.window, site=found.action.site)
        words += scope.rule_in_words()
    return " ".join(words)
