"""What the Life page shows for one answer: tiles, sentences, tables and the plot."""

from typing import Any

from django.http import QueryDict

from analytics.reports.life.forecast_words import forecast_sentence
from analytics.reports.life.plot import plot
from analytics.reports.life.report import LifeReport
from analytics.reports.life.tables import (
    assumed_table,
    compared_table,
    dead_table,
    limits_text,
    missing_table,
    outlasting_table,
    places,
    population_table,
    result_table,
    sample_table,
    shown,
)
from analytics.reports.life.words import (
    NONE_ON_RECORD,
    advice,
    as_of_words,
    interval_explained,
    nothing_to_fit,
    rule_in_words,
    shape_reading,
)
from analytics.samples import Sample, Status
from plant.display import count, number, percent


def life_context(report: LifeReport, query: QueryDict) -> dict[str, Any]:
    """Everything that the Life page shows for one answer."""
    estimate, sample = report.estimate, report.sample
    context: dict[str, Any] = {
        "name": report.question.name,
        "tiles": tiles(report),
        "sample_sentence": sample_sentence(sample),
        "rule": rule_in_words(report.question.rule),
        "mixture": report.mixture,
        "notes": report.notes,
        "sample": sample_table(sample),
        "plot": plot(report),
        "missing": missing_table(report),
        "dead": dead_table(sample),
        "refusal": refusal(report),
    }
    if len(report.populations) > 1:
        context["populations"] = population_table(report, query)
    if estimate.fit is not None:
        context["reading"] = shape_reading(estimate.fit.shape_interval)
        context["intervals"] = interval_explained(estimate.fit.confidence)
        context["outlasting"] = outlasting_table(report)
        context["results"] = result_table(report)
    if estimate.assumed:
        context["assumed"] = assumed_table(report)
    if report.ahead is not None:
        context["ahead"] = forecast_sentence(report.ahead)
    if report.compared is not None:
        context["compared"] = compared_table(report)
        context["compared_sample"] = sample_sentence(report.compared.sample)
    return context


def tiles(report: LifeReport) -> list[dict[str, str]]:
    """The estimates, each with its interval and what it means."""
    found = []
    for figure in report.figures:
        limits = figure.interval
        said = "without an interval"
        if limits is not None:
            said = (
                f"{percent(limits.confidence)} interval "
                f"{limits_text(limits, places(figure.unit))}"
            )
        found.append(
            {
                "label": figure.name,
                "value": shown(figure.value, places(figure.unit)),
                "unit": figure.unit,
                "interval": said,
                "note": figure.meaning,
            }
        )
    return found


def sample_sentence(sample: Sample) -> str:
    """The sample in one line, to stand beside every figure."""
    used, as_of = sample.used, as_of_words(sample.rule)
    if not len(sample.rows):
        return f"{NONE_ON_RECORD} {as_of}"
    return (
        f"{number(sample.count(Status.FAILED))} failed, "
        f"{number(sample.count(Status.SUSPENDED))} suspended, "
        f"{number(sample.count(Status.LEFT_OUT))} left out; "
        f"{count(used['pump_id'].nunique(), 'pump')} and "
        f"{count(used['position_id'].nunique(), 'position')} in the fit. "
        f"{as_of}"
    )


def refusal(report: LifeReport) -> str:
    """Why there is no fit and what to do, or nothing."""
    estimate, sample = report.estimate, report.sample
    if estimate.error is not None:
        failures = sample.count(Status.FAILED)
        return f"{estimate.error} {advice(estimate.error, failures)}"
    # Without any life the sample table itself says so.
    if len(sample.rows) and sample.used.empty:
        return nothing_to_fit(sample)
    return ""
