"""The Life report as rows of a file: numbers as computed, not as rounded."""

import math
from collections.abc import Iterator
from typing import Any

from analytics.reports.life.report import LifeReport
from analytics.reports.life.words import method_in_words, rule_in_words
from analytics.samples import Status
from plant.choices import Beginning, Component, ConditionFitted, Ending, Location
from plant.display import date_time

SAMPLE_HEADER = [
    *("pump", "position", "component", "place", "part", "piping_plan", "liquid"),
    *("condition_fitted", "beginning", "fitted_at", "started_at", "ended_at"),
    *("started_at_stands_for_fitting", "ended_at_stands_for_removal"),
    *("ending", "counted_as", "left_out_because", "age", "entry_age", "unit"),
    "age_is_estimated",
]
RESULT_HEADER = ["population", "figure", "value", "low", "high", "confidence"]
RESULT_HEADER += ["unit", "method", "meaning"]


def sample_rows(report: LifeReport) -> Iterator[list[Any]]:
    """One row a life, left-out ones included."""
    sample = report.sample
    for life in sample.rows.to_dict("records"):
        yield [
            life["serial_number"],
            life["tag"],
            Component(life["component"]).label,
            Location(life["location"]).label,
            life["part"],
            life["piping_plan"],
            life["liquid"],
            ConditionFitted(life["condition_fitted"]).label,
            Beginning(life["beginning"]).label,
            date_time(life["fitted_at"]),
            date_time(life["started"]),
            date_time(life["ended"]) if life["closed"] else "",
            _yes_no(_missing(life["started_at"])),
            _yes_no(life["closed"] and _missing(life["ended_at"])),
            Ending(life["ending"]).label,
            str(life["status"]),
            life["reason"],
            _number(life["age"]),
            _number(life["entry_age"]),
            sample.unit,
            _yes_no(life["estimated"]),
        ]


def result_rows(report: LifeReport) -> Iterator[list[Any]]:
    """Estimates of each population, then the sample and the rule they stand on."""
    for one in (report, report.compared):
        if one is None:
            continue
        name, sample = one.question.name, one.sample
        for figure in (*one.figures, *one.outlasting):
            limits = figure.interval
            yield [
                name,
                figure.name,
                figure.value,
                limits.low if limits else "",
                _number(limits.high) if limits else "",
                limits.confidence if limits else "",
                figure.unit,
                method_in_words(limits.method) if limits else "",
                figure.meaning,
            ]
        if one.estimate.fit is not None:
            value = one.estimate.fit.log_likelihood
            yield [name, "Log-likelihood", value, *[""] * 6]
        for status in Status:
            lives = sample.count(status)
            yield [name, f"Lives {status}", lives, *[""] * 5, ""]
        yield [name, "Rule", *[""] * 6, rule_in_words(sample.rule)]
        for note in (one.mixture, *one.notes):
            if note:
                yield [name, "Note", *[""] * 6, note]


def _number(value: float) -> float | str:
    return value if math.isfinite(value) else ""


def _missing(moment: Any) -> bool:
    return bool(moment is None or moment != moment)


def _yes_no(fact: bool) -> str:
    return "yes" if fact else "no"
