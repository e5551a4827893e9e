"""What the Trend page and the position's panel are given to show."""

import numpy as np
from django.http import QueryDict
from django.urls import reverse

from analytics.charts.mean_cumulative import (
    StepCurve,
    kept_steps,
    mean_cumulative_plot,
)
from analytics.charts.theme import figure_json
from analytics.reports.trend import words
from analytics.reports.trend.figures import TrendFigure, shape_now, time_between
from analytics.reports.trend.report import Group, TrendReport
from analytics.reports.trend.tables import (
    limits_text,
    position_table,
    result_table,
    step_cells,
    step_columns,
    step_rows,
)
from analytics.tables import Cell, address_with
from plant.display import fixed, interval, number, percent

MOST_ROWS = 200
EXPORTS = {"trend_export": "Curve, CSV", "trend_results": "Results, CSV"}


def context(report: TrendReport, query: QueryDict) -> Cell:
    """Verdict, tiles, curve and tables."""
    return {
        **panel(report),
        "report": report,
        "chart": curve_chart(report),
        "results": result_table(report),
        "positions": position_table(report, query),
        "doubts": words.doubts(report),
        "counting": [
            words.ORIGIN[report.question.clock],
            *words.METHOD,
            *report.question.scope.rule_in_words(),
        ],
        "export_urls": [
            {
                "label": label,
                "url": address_with(reverse(f"analytics:{name}"), query),
            }
            for name, label in EXPORTS.items()
        ],
    }


def position_context(report: TrendReport) -> Cell:
    """The panel with the curve, and the way to the page with all choices."""
    subject = report.question.subject
    assert subject is not None
    asked = QueryDict(mutable=True)
    asked.update({"site": str(subject.site_id), "position": subject.tag})
    return {
        **panel(report),
        "chart": curve_chart(report),
        "url": address_with(reverse("analytics:trend"), asked),
    }


def panel(report: TrendReport) -> Cell:
    """What is said of one position on its own page."""
    return {
        "verdict": words.verdict_sentence(report),
        "said": [
            sentence
            for sentence in (
                words.chance_sentence(report),
                words.curve_sentence(report),
                words.power_law_sentence(report),
            )
            if sentence
        ],
        "refusal": words.advice(report),
        "sample": words.sample_sentence(report),
        "tiles": tiles(report),
    }


def tiles(report: TrendReport) -> list[Cell]:
    """Height of the curve, shape and present time between events."""
    found = []
    group, event = report.group, report.question.counted.one
    confidence = percent(report.question.scope.confidence)
    unit = report.question.clock.in_words
    if group.curve is not None and report.question.subject is None:
        ends = (group.curve.lower[-1], group.curve.upper[-1])
        found.append(
            {
                "label": f"{event.capitalize()}s per position",
                "value": fixed(group.curve.mean[-1]),
                "interval": f"{confidence} interval {interval(*ends, fixed)}",
                "note": f"by {number(float(group.curve.time[-1]), 4)} {unit} on record",
            }
        )
    if not report.verdict.fits:
        return found
    for figure in (shape_now(report), time_between(report)):
        if figure is not None:
            found.append(_tile(figure, unit, confidence))
    return found


def _tile(figure: TrendFigure, unit: str, confidence: str) -> Cell:
    places = 0 if figure.unit else 2
    return {
        "label": figure.name,
        "value": fixed(figure.value, places),
        "unit": unit if figure.unit else "",
        "interval": f"{confidence} interval {limits_text(figure, places)}",
        "note": figure.meaning,
    }


def curve_chart(report: TrendReport) -> Cell | None:
    """The curve, its peers beside it, and the table of its steps."""
    groups = [g for g in (report.group, report.peers) if g is not None and g.positions]
    if all(group.curve is None for group in groups):
        return None
    fit = report.verdict.power_law
    is_drawn = fit is not None and report.verdict.fits
    figure = mean_cumulative_plot(
        [_steps(group) for group in groups],
        unit_words=report.question.clock.in_words,
        event=report.question.counted.one,
        power_law=(fit.scale, fit.shape) if fit is not None and is_drawn else None,
    )
    steps = [step_rows(group) for group in groups]
    kept = [kept_steps(len(rows), MOST_ROWS) for rows in steps]
    return {
        "figure": figure_json(figure),
        "heading": f"{report.question.counted.label} by time on record",
        "reading": (
            "A straight line is a steady rate; a curve that bends upwards means events "
            "come faster, one that flattens means they come slower."
        ),
        "thinned": any(len(rows) > MOST_ROWS for rows in steps),
        "columns": step_columns(report),
        "rows": [
            step_cells(rows[place])
            for rows, places in zip(steps, kept, strict=True)
            for place in places
        ],
    }


def _steps(group: Group) -> StepCurve:
    curve = group.curve
    if curve is None:
        nothing = np.array([])
        return StepCurve(group.name, nothing, nothing, None, None, group.longest)
    alone = group.positions == 1
    return StepCurve(
        name=group.name,
        time=curve.time,
        mean=curve.mean,
        lower=None if alone else curve.lower,
        upper=None if alone else curve.upper,
        end=group.longest,
    )
