"""What the page on the drivers of life is given to show, and the rows of its file."""

from collections.abc import Iterator
from typing import Any

from django.http import QueryDict
from django.urls import reverse

from analytics.charts.forest import ForestLine, forest_plot
from analytics.charts.theme import figure_json
from analytics.life.drivers import LifeDriver
from analytics.reports.drivers import words
from analytics.reports.drivers.report import DriversReport
from analytics.reports.life.page import sample_sentence
from analytics.reports.life.tables import columns, numeric, sample_table
from analytics.tables import Cell, address_with
from analytics.wording import confidence_label
from plant.display import NO_VALUE, fixed, interval

READING = (
    "Right of 1 life is longer, left of 1 shorter; a line that crosses 1 leaves both "
    "open. Filled marks stand out, open ones may be chance."
)
HEADER = ["covariate", "level", "instead_of", "step", "ratio_of_life", "low", "high"]
HEADER += ["confidence", "p_value", "adjusted_p_value", "stands_out"]
HEADER += ["changes_shape_p_value", "method", "in_words"]


def context(report: DriversReport, query: QueryDict) -> Cell:
    """Finding, sentences, plot and tables."""
    export = address_with(reverse("analytics:life_drivers_export"), query)
    return {
        "report": report,
        "finding": words.finding(report),
        "sentences": _sentences(report),
        "refusal": words.refusal(report),
        "cause": words.CAUSE,
        "sample_words": words.sample_words(report),
        "sample_sentence": sample_sentence(report.sample),
        "chart": _chart(report),
        "refused": _refused_table(report),
        "doubts": words.doubts(report),
        "counting": words.counting(report),
        "sample": sample_table(report.sample),
        "export_urls": [{"label": "CSV", "url": export}],
    }


def _sentences(report: DriversReport) -> list[str]:
    """What stands out first; the rest in the order of the covariates."""
    drivers = report.result.drivers if report.result else ()
    ordered = sorted(drivers, key=lambda driver: not driver.stands_out)
    return [words.driver_sentence(driver) for driver in ordered]


def _chart(report: DriversReport) -> Cell | None:
    result = report.result
    if result is None:
        return None
    lines = [
        ForestLine(
            words.comparison(driver),
            driver.ratio,
            driver.interval.low,
            driver.interval.high,
            driver.stands_out,
        )
        for driver in result.drivers
    ]
    limits = confidence_label(report.question.confidence)
    numbers = ("Ratio of life", limits, "Chance", "Adjusted", "Shape changes")
    return {
        "figure": figure_json(forest_plot(lines)),
        "reading": READING,
        "columns": columns("Compared", *numbers, "Verdict", numbers=numbers),
        "rows": [_cells(driver) for driver in result.drivers],
    }


def _cells(driver: LifeDriver) -> list[Cell]:
    limits = interval(driver.interval.low, driver.interval.high, lambda v: fixed(v, 2))
    shape = driver.proportional_p_value
    return [
        {"text": words.comparison(driver)},
        numeric(fixed(driver.ratio, 2)),
        numeric(limits),
        numeric(fixed(driver.p_value, 3)),
        numeric(fixed(driver.adjusted_p_value, 3)),
        numeric(NO_VALUE if shape is None else fixed(shape, 3)),
        {"text": words.verdict_words(driver)},
    ]


def _refused_table(report: DriversReport) -> Cell | None:
    if not report.refused:
        return None
    return {
        "columns": columns("Covariate", "Why it was left out"),
        "rows": [
            [{"text": name}, {"text": why}] for name, why in report.refused.items()
        ],
    }


def export_rows(report: DriversReport) -> Iterator[list[Any]]:
    """Every ratio as computed, then what was refused and what must be known."""
    for driver in report.result.drivers if report.result else ():
        yield [
            driver.name,
            driver.level or "",
            driver.against or "",
            driver.step if driver.level is None else "",
            driver.ratio,
            driver.interval.low,
            driver.interval.high,
            driver.interval.confidence,
            driver.p_value,
            driver.adjusted_p_value,
            "yes" if driver.stands_out else "no",
            "" if driver.proportional_p_value is None else driver.proportional_p_value,
            driver.interval.method,
            words.driver_sentence(driver),
        ]
    for name, why in report.refused.items():
        yield [name, *[""] * 12, f"Left out: {why}"]
    said = [
        words.refusal(report),
        words.sample_words(report),
        sample_sentence(report.sample),
        *words.doubts(report),
        words.CAUSE,
        *words.counting(report),
    ]
    for sentence in said:
        if sentence:
            yield ["Note", *[""] * 12, sentence]
