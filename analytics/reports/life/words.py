"""What the Life page says in words: the shape, the refusals, the counting rule."""

from datetime import time

from django.utils import timezone

from analytics.ages import Clock
from analytics.life.errors import (
    DidNotConverge,
    InvalidSample,
    LifeError,
    NoMaximum,
    NoSpread,
    TooFewFailures,
)
from analytics.life.results import Interval
from analytics.samples import Rejects, Sample, SampleRule
from plant.choices import ConditionFitted, Ending
from plant.display import count, date, date_time, percent

CLOCK_WORDS = {
    Clock.HOURS: "running hours",
    Clock.DAYS: "calendar days in service",
    Clock.STARTS: "starts",
}
MIXED_BY = {
    "component": "components",
    "part": "parts",
    "piping_plan": "piping plans",
}
METHOD_WORDS = {
    "likelihood_ratio": "likelihood ratio",
    "calibrated": "likelihood ratio with a threshold from simulation",
    "wald_log": "normal limits of the logarithm",
}
NONE_ON_RECORD = "No life on record meets this choice."
ADVICE: dict[type[LifeError], str] = {
    TooFewFailures: "Widen the choice to like parts in like service, or take the "
    "figures below, which stand on an assumed shape.",
    NoSpread: "Look whether one event ended them all, or whether dates or hours were "
    "copied from one row to the next.",
    NoMaximum: "Look at the day from which the records run and at the entry ages; "
    "lives watched from their beginning settle it.",
    DidNotConverge: "Look for ages that are far out of line with the others.",
    InvalidSample: "Look at the lives in the sample table and correct what is wrong.",
}


def shape_reading(interval: Interval) -> str:
    """What a shape says about how the parts fail, as far as its interval allows."""
    if interval.high < 1:
        return (
            "Early failures: the older a part, the less it fails. Look at fitting, "
            "alignment, cleanliness and the start-up; renewing parts early does harm."
        )
    if interval.low <= 1:
        return (
            "Cannot be told: the interval of the shape spans 1, so early failures, "
            "failures by chance and wear all remain possible. Renewal by age has no "
            "ground yet."
        )
    if interval.low > 4:
        return (
            "Fast wear-out: most parts fail within a narrow span of ages. Renewal "
            "before that span can pay; look for what wears them so evenly."
        )
    return (
        "Wear: the older a part, the more it fails. Look at what uses it up; renewal "
        "at a set age may pay."
    )


def interval_explained(confidence: float) -> str:
    """What an interval is, for whoever has to act on it."""
    return (
        f"The method behind an interval holds the true value in {percent(confidence)} "
        "of samples like this one; a wide interval says that the failures are too few "
        "to know better, so plan for either end of it."
    )


def method_in_words(method: str) -> str:
    """The method of an interval as a reader would say it."""
    name, comma, more = method.partition(",")
    return f"{METHOD_WORDS.get(name, name)}{comma}{more}"


def advice(error: LifeError, failures: int) -> str:
    """What to do about a refusal."""
    if isinstance(error, TooFewFailures) and failures == 0:
        return (
            "That is good news, not a life: the figures below are lower bounds for "
            "the shape assumed. Widen the choice, or wait."
        )
    for kind, words in ADVICE.items():
        if isinstance(error, kind):
            return words
    return ADVICE[InvalidSample]


def nothing_to_fit(sample: Sample) -> str:
    """Why a sample without a usable life gives no answer, and what to do."""
    if not len(sample.rows):
        return f"{NONE_ON_RECORD} Widen it, or import the components of your fleet."
    return (
        "No life of this choice can take part in a fit; the sample table of the Life "
        "view says why. Complete those records, or count age in another way."
    )


def as_of_words(rule: SampleRule) -> str:
    """Up to when the lives are counted: a day, where it is the end of one."""
    if timezone.localtime(rule.as_of).time() == time.max:
        return f"As of the end of {date(rule.as_of)}."
    return f"As of {date_time(rule.as_of)}."


def rule_in_words(rule: SampleRule) -> str:
    """Which endings count as failure, and what becomes of the others."""
    labels = [e.label.lower() for e in Ending if e in rule.failure_endings]
    rejects = {
        Rejects.SITE_RULE: "parts rejected at inspection follow the site's rule",
        Rejects.FAILURE: "parts rejected at inspection count as failures",
        Rejects.SUSPENSION: "parts rejected at inspection count as suspensions",
    }[rule.rejects]
    return (
        f"Counted as failure: {'; '.join(labels)}; {rejects}. Every other ending is a "
        f"suspension. Ages are {CLOCK_WORDS[rule.clock]}."
    )


def kept_apart_in_words(sample: Sample) -> str:
    """Which lives of the same choice are another population by their condition."""
    if not sample.kept_apart:
        return ""
    parts = [
        f"{count(number, 'life,lives')} fitted "
        f"{ConditionFitted(condition).label.lower()}"
        for condition, number in sample.kept_apart.items()
    ]
    return f"Kept apart as populations of their own: {', '.join(parts)}."


def mixture_in_words(sample: Sample) -> str:
    """A warning when several parts or plans stand in one sample."""
    used = sample.used
    mixed = []
    for column, one in MIXED_BY.items():
        names = sorted({name for name in used[column].unique() if name})
        if len(names) > 1:
            shown = ", ".join(names[:6]) + (" and others" if len(names) > 6 else "")
            mixed.append(f"{len(names)} {one} ({shown})")
    if not mixed:
        return ""
    return (
        f"This sample mixes {' and '.join(mixed)}. A fit to a mixture bends the shape "
        "and can hide both populations; look at each by itself before acting."
    )
