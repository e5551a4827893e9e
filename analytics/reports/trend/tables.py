"""Tables and export rows of the Trend page; both show the same numbers."""

from collections.abc import Iterator
from typing import Any

from django.http import QueryDict
from django.urls import reverse

from analytics.reports.trend import words
from analytics.reports.trend.figures import TrendFigure, trend_figures
from analytics.reports.trend.positions import PositionTrend
from analytics.reports.trend.report import Group, TrendReport
from analytics.tables import Cell, address_with
from analytics.wording import confidence_label
from plant.display import NO_VALUE, fixed, interval, number

MOST_POSITIONS = 20
CURVE_HEADER = [
    *("curve", "time_on_record", "unit", "positions_watched", "events"),
    *("mean_per_position", "low", "high", "confidence"),
]
RESULT_HEADER = ["figure", "value", "low", "high", "confidence", "chance"]
RESULT_HEADER += ["unit", "method", "meaning"]


def step_columns(report: TrendReport) -> list[Cell]:
    """Heads of the steps."""
    labels = (
        f"{report.question.clock.in_words.capitalize()} on record",
        "Positions watched",
        "Events",
        "Mean per position",
        confidence_label(report.question.scope.confidence),
    )
    return [
        {"label": "Curve"},
        *({"label": label, "numeric": True} for label in labels),
    ]


def limits_text(figure: TrendFigure, places: int) -> str:
    """The interval of a figure as text."""
    limits = figure.interval
    if limits is None:
        return NO_VALUE
    return interval(limits.low, limits.high, lambda limit: fixed(limit, places))


def step_rows(group: Group) -> list[list[Any]]:
    """One row a step: name, time, watched, events, mean and limits, as computed.

    A single position has been counted and not estimated: it has no limits.
    """
    curve = group.curve
    if curve is None:
        return []
    alone = group.positions == 1
    return [
        [
            group.name,
            float(curve.time[place]),
            int(curve.at_risk[place]),
            int(curve.events[place]),
            float(curve.mean[place]),
            None if alone else float(curve.lower[place]),
            None if alone else float(curve.upper[place]),
        ]
        for place in range(curve.time.size)
    ]


def step_cells(row: list[Any]) -> list[Cell]:
    name, time, watched, events, mean, lower, upper = row
    limits = interval(lower, upper, lambda v: fixed(v, 3))
    texts = (fixed(time, 1).removesuffix(".0"), number(watched), number(events))
    return [
        {"text": name},
        *({"text": text, "numeric": True} for text in (*texts, fixed(mean, 4), limits)),
    ]


def result_table(report: TrendReport) -> Cell | None:
    """Every figure with its interval or chance."""
    figures = trend_figures(report)
    if not figures:
        return None
    heads = ("Value", confidence_label(report.question.scope.confidence), "Chance")
    return {
        "columns": [
            {"label": "Figure"},
            *({"label": label, "numeric": True} for label in heads),
            {"label": "Method"},
            {"label": "Meaning"},
        ],
        "rows": [_figure_cells(figure) for figure in figures],
    }


def _figure_cells(figure: TrendFigure) -> list[Cell]:
    places = 1 if figure.unit else 4
    value = fixed(figure.value, places) + (f" {figure.unit}" if figure.unit else "")
    chance = NO_VALUE if figure.p_value is None else words.p_text(figure.p_value)
    return [
        {"text": figure.name},
        *(
            {"text": text, "numeric": True}
            for text in (value, limits_text(figure, places), chance)
        ),
        {"text": figure.method},
        {"text": figure.meaning},
    ]


def position_table(report: TrendReport, query: QueryDict) -> Cell | None:
    """Positions tested one by one, clearest trend first."""
    if report.question.subject is not None or not report.positions:
        return None
    found = sum(row.stands_out for row in report.positions)
    return {
        "reading": words.positions_reading(len(report.positions), found),
        "caption": "Positions, clearest first",
        "columns": [
            {"label": "Position"},
            {"label": "Events", "numeric": True},
            {"label": "Drifts"},
            {"label": "Chance", "numeric": True},
            {"label": "Adjusted", "numeric": True},
        ],
        "rows": [
            _position_cells(row, query) for row in report.positions[:MOST_POSITIONS]
        ],
    }


def _position_cells(row: PositionTrend, query: QueryDict) -> list[Cell]:
    kept = query.copy()
    for name in ("area", "liquid", "criticality", "plan"):
        kept.pop(name, None)
    return [
        {
            "text": row.tag,
            "url": address_with(
                reverse("analytics:trend"),
                kept,
                site=str(row.site),
                position=row.tag,
            ),
            "note": row.area,
        },
        {"text": number(row.events), "numeric": True},
        {
            "text": f"towards {words.CHANGES[row.direction]}",
            "flag": "stands out" if row.stands_out else "",
            "alert": row.stands_out and row.direction == "worsening",
        },
        {"text": words.p_text(row.p_value), "numeric": True},
        {"text": words.p_text(row.adjusted), "numeric": True},
    ]


def curve_rows(report: TrendReport) -> Iterator[list[Any]]:
    """Every step of every curve, for a file."""
    unit, confidence = report.question.clock.unit, report.question.scope.confidence
    for group in (report.group, report.peers):
        if group is not None:
            for name, time, *counts, mean, low, high in step_rows(group):
                yield [name, time, unit, *counts, mean, low, high, confidence]


def result_rows(report: TrendReport) -> Iterator[list[Any]]:
    """Every figure, then what is said of them, for a file."""
    for figure in trend_figures(report):
        limits = figure.interval
        yield [
            figure.name,
            figure.value,
            limits.low if limits else None,
            limits.high if limits else None,
            limits.confidence if limits else None,
            figure.p_value,
            figure.unit,
            figure.method,
            figure.meaning,
        ]
    said = {
        "Verdict": [words.verdict_sentence(report), words.advice(report)],
        "Sample": [words.sample_sentence(report)],
        "Note": [words.chance_sentence(report), *words.doubts(report)],
        "Rule": report.question.scope.rule_in_words(),
    }
    for name, sentences in said.items():
        for sentence in sentences:
            if sentence:
                yield [name, *[None] * 7, sentence]
