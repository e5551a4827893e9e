"""What a view of a population puts on its page, and in its file."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from analytics.life.results import Interval
from analytics.reports.life.page import sample_sentence
from analytics.reports.life.reading import LifeReading
from analytics.reports.life.report import sample_notes
from analytics.reports.life.words import mixture_in_words, rule_in_words
from analytics.samples import Sample
from plant.display import number

Table = dict[str, Any]
ExportRows = Iterator[list[Any]]
EXPORT_HEADER = ["about", "figure", "value", "low", "high", "confidence"]
EXPORT_HEADER += ["unit", "method", "note"]


@dataclass(frozen=True, slots=True)
class ViewAnswer:
    """One answer: the sentence for the fitter first, then figures and tables.

    Every table and chart carries its own caption or heading; `rows` are those of
    the file, in the columns of EXPORT_HEADER.
    """

    lead: str = ""
    refusal: str = ""
    cautions: tuple[str, ...] = ()
    tiles: list[dict[str, str]] = field(default_factory=list)
    tables: list[Table] = field(default_factory=list)
    charts: list[Table] = field(default_factory=list)
    hints: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    judges_parts: bool = False
    """Whether the view itself tells the parts of a mixture apart."""
    method: str = ""
    rows: list[list[Any]] = field(default_factory=list)


def population_context(reading: LifeReading) -> dict[str, Any]:
    """The population that every view speaks of, with its doubts."""
    sample = reading.sample
    return {
        "name": reading.question.name,
        "sample_sentence": sample_sentence(sample),
        "rule": rule_in_words(sample.rule),
        "mixture": mixture_in_words(sample),
        "doubts": sample_notes(sample, reading.estimate),
    }


def assumed_caution(reading: LifeReading) -> str:
    """That an answer stands on a shape nobody measured, where it does."""
    if not reading.is_assumed:
        return ""
    return (
        f"The sample gives no shape of its own ({reading.estimate.error}) Everything "
        f"below stands on an assumed shape of {number(reading.question.shape_assumed)} "
        "(a usual value, not from your data). Change it under the counting choices "
        "and look how the answer moves."
    )


def file_rows(answer: ViewAnswer) -> list[list[Any]]:
    """The rows of the file; where nothing could be computed, why."""
    said = answer.refusal or answer.lead
    return answer.rows or [["all", "refused", *[""] * 6, said]]


def sample_row(sample: Sample) -> list[Any]:
    """The sample behind the figures of a file."""
    words = f"{sample_sentence(sample)} {rule_in_words(sample.rule)}"
    return ["sample", "lives", len(sample.rows), *[""] * 5, words]


def bounds(limits: Interval | None) -> list[Any]:
    """Low, high and confidence for a file; blank where there are none."""
    if limits is None:
        return ["", "", ""]
    high = limits.high if math.isfinite(limits.high) else ""
    return [limits.low, high, limits.confidence]
