"""The Life page's answer: selector, sample, fit and warnings, for page and exports."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import pandas as pd

from analytics.ages import Clock
from analytics.life.results import Interval
from analytics.reports.life.estimate import (
    LifeEstimate,
    Population,
    populations,
)
from analytics.reports.life.forecast import YEAR, LifeForecast, life_forecast
from analytics.reports.life.question import LifeQuestion
from analytics.reports.life.reading import LifeReading, life_reading
from analytics.reports.life.words import kept_apart_in_words, mixture_in_words
from analytics.samples import Sample, Status
from plant.choices import Ending
from plant.display import count, fixed, number, percent
from plant.models import User
from records.selectors.lives import pumps_without_life

FEW_FAILURES = 5
YEARS = {
    Clock.HOURS: (8766.0, "a year of running without a stop"),
    Clock.DAYS: (365.25, "a year in service"),
}


@dataclass(frozen=True, slots=True)
class Figure:
    """One estimate with all that must stand beside it."""

    name: str
    value: float | None
    interval: Interval | None
    unit: str
    meaning: str


@dataclass(frozen=True, slots=True, eq=False)
class LifeReport:
    """Sample, estimates and everything the reader must be told with them."""

    question: LifeQuestion
    sample: Sample
    estimate: LifeEstimate
    figures: tuple[Figure, ...]
    mixture: str
    notes: tuple[str, ...]
    populations: tuple[Population, ...]
    pumps_without_life: tuple[Mapping[str, Any], ...]
    outlasting: tuple[Figure, ...] = ()
    ahead: LifeForecast | None = None
    compared: "LifeReport | None" = None


def life_report(
    *, user: User, question: LifeQuestion, age: float | None = None
) -> LifeReport:
    """Answer a question; the number of queries does not depend on the records.

    `age` is one more age of which to say how many outlast it.
    """
    reading = life_reading(user=user, question=question)
    report = replace(
        _answer(user, reading),
        outlasting=outlasting(reading, age),
        ahead=life_forecast(reading, (YEAR,)),
    )
    if question.other is None:
        return report
    other = life_reading(user=user, question=question.other)
    return replace(report, compared=_answer(user, other))


def _answer(user: User, reading: LifeReading) -> LifeReport:
    question, sample, estimate = reading.question, reading.sample, reading.estimate
    as_of = question.rule.as_of
    missing = pumps_without_life(user=user, choice=question.choice, as_of=as_of)
    return LifeReport(
        question=question,
        sample=sample,
        estimate=estimate,
        figures=figures(estimate, question, sample.unit),
        mixture=mixture_in_words(sample),
        notes=sample_notes(sample, estimate),
        populations=tuple(populations(sample, question.confidence)),
        pumps_without_life=tuple(missing),
    )


def figures(
    estimate: LifeEstimate, question: LifeQuestion, unit: str
) -> tuple[Figure, ...]:
    """Shape, characteristic life, B life and mean of a fit; none without one."""
    fit = estimate.fit
    if fit is None:
        return ()
    b_life, mean = fit.b_life(question.percent), fit.mean_estimate()
    share = f"{question.percent:g}"
    return (
        Figure(
            "Shape",
            fit.shape,
            fit.shape_interval,
            "",
            "Below 1 parts fail early, about 1 by chance, above 1 by wear.",
        ),
        Figure(
            "Characteristic life",
            fit.scale,
            fit.scale_interval,
            unit,
            "Age by which 63.2 % of such parts have failed.",
        ),
        Figure(
            f"B{share} life",
            b_life.value,
            b_life.interval,
            unit,
            f"Age by which {share} % of such parts have failed.",
        ),
        Figure(
            "Mean life",
            mean.value,
            mean.interval,
            unit,
            "Average age at failure, were every part run until it fails.",
        ),
    )


def outlasting(reading: LifeReading, age: float | None) -> tuple[Figure, ...]:
    """Share of such parts that outlast a year and an age of the reader's choice."""
    fit = reading.estimate.fit
    if fit is None:
        return ()
    clock = reading.question.rule.clock
    ages = {}
    if clock in YEARS:
        year, words = YEARS[clock]
        ages[year] = words
    if age is not None:
        ages[age] = "the age you chose"
    found = []
    for reached, words in ages.items():
        share = fit.reliability(reached)
        found.append(
            Figure(
                f"Outlast {fixed(reached, 0)} {fit.unit}",
                share.value,
                share.interval,
                "share",
                f"Share of such parts that outlast {words}.",
            )
        )
    return tuple(found)


def sample_notes(sample: Sample, estimate: LifeEstimate) -> tuple[str, ...]:
    """Everything about the sample that a reader must know before using a figure."""
    fitted = estimate.fit.warnings if estimate.fit else ()
    said = [
        kept_apart_in_words(sample),
        _pooled_conditions(sample.used),
        _few_failures(sample, estimate),
        _repeated_positions(sample.used),
        _estimated_hours(sample),
        _not_inspected(sample.used),
        _starts_of_open_lives(sample),
        *fitted,
    ]
    return tuple(sentence for sentence in said if sentence)


def _pooled_conditions(used: pd.DataFrame) -> str:
    conditions = set(used["condition_fitted"]) - {"refitted"}
    if len(conditions) < 2:
        return ""
    return (
        "You pooled parts fitted in different conditions "
        f"({', '.join(sorted(conditions))}): they may be different populations."
    )


def _few_failures(sample: Sample, estimate: LifeEstimate) -> str:
    failed = sample.count(Status.FAILED)
    if estimate.fit is None or failed >= FEW_FAILURES:
        return ""
    return (
        f"Only {count(failed, 'failure')}: the shape is hardly known. Trust the "
        "interval, not the value."
    )


def _repeated_positions(used: pd.DataFrame) -> str:
    places = used["position_id"].fillna(-used["pump_id"]).nunique()
    if places == len(used):
        return ""
    return (
        f"{number(len(used))} lives come from {count(places, 'position')}: repeated "
        "lives of one position are not independent, so the sample holds less than its "
        "number of lives suggests."
    )


def _estimated_hours(sample: Sample) -> str:
    used = sample.used
    estimated = int(used["estimated"].sum())
    if not estimated:
        return ""
    how = (
        "calendar time times the running share of the position"
        if sample.rule.clock is Clock.HOURS
        else "an earlier age recorded in hours and the running share"
    )
    return (
        f"{number(estimated)} of {number(len(used))} ages "
        f"({percent(estimated / len(used))}) are estimated, at least in part, from "
        f"{how}."
    )


def _not_inspected(used: pd.DataFrame) -> str:
    unseen = int((used["ending"] == Ending.NOT_INSPECTED).sum())
    if not unseen:
        return ""
    return (
        f"Ended without an inspection of the part: {count(unseen, 'life,lives')}, "
        "counted as suspended; some may have been at the end."
    )


def _starts_of_open_lives(sample: Sample) -> str:
    if sample.rule.clock is not Clock.STARTS:
        return ""
    return (
        "Starts are known only where they were written down at fitting and removal; "
        "lives still in are left out, which makes life look shorter than it is."
    )
