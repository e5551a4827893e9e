"""The probability plot of the Life page with its reading and its numbers."""

from typing import Any

import numpy as np

from analytics.charts.theme import figure_json
from analytics.charts.weibull_plot import (
    MOST_POINTS,
    PlotSeries,
    thinned,
    weibull_plot,
)
from analytics.reports.life.estimate import LifeEstimate
from analytics.reports.life.report import LifeReport
from analytics.reports.life.tables import columns, numeric
from analytics.reports.life.words import CLOCK_WORDS
from plant.display import NO_VALUE, fixed, interval, percent


def plot(report: LifeReport) -> dict[str, Any] | None:
    """The probability plot and its numbers; nothing without a failure."""
    if report.estimate.points is None:
        return None
    drawn = [report]
    if report.compared is not None and report.compared.estimate.points is not None:
        drawn.append(report.compared)
    figure = weibull_plot(
        [plot_series(one.question.name, one.estimate) for one in drawn],
        unit_words=CLOCK_WORDS[report.sample.rule.clock],
    )
    labels = ("Plotted at", "Fitted share failed", "Confidence band")
    return {
        "figure": figure_json(figure),
        "reading": _plot_reading(report),
        "columns": columns(
            f"Age at failure, {report.sample.unit}",
            *(["Population"] if len(drawn) > 1 else []),
            *labels,
            numbers=labels,
        ),
        "rows": [
            row
            for one in drawn
            for row in plot_rows(
                one.estimate, one.question.name if len(drawn) > 1 else ""
            )
        ],
    }


def plot_series(name: str, estimate: LifeEstimate) -> PlotSeries:
    """Arrays of one population for the plot."""
    nothing = np.empty(0)
    ages, band = nothing, None
    if estimate.fit is not None:
        ages = estimate.curve_ages
        band = estimate.band(ages)
    data, points = estimate.data, estimate.points
    return PlotSeries(
        name=name,
        failure_ages=points.ages if points else nothing,
        failure_share=points.share_failed if points else nothing,
        suspension_ages=data.ages[~data.failed] if data else nothing,
        line_ages=ages,
        line_share=band.probability if band else nothing,
        low=band.low if band else nothing,
        high=band.high if band else nothing,
    )


def _plot_reading(report: LifeReport) -> str:
    points = report.estimate.points
    assert points is not None
    reading = (
        "Each mark is a failure; marks along the line speak for one way of failing, a "
        "bend or two slopes for a mixture. The line's slope is the shape, the shade "
        "its confidence band"
    )
    if report.estimate.fit is None:
        reading = "Each mark is a failure; the sample carries no line"
    failures = points.ages.size
    thinning = f" Of {failures:,} marks {MOST_POINTS} are drawn."
    return (
        f"{reading}. Marks stand at {points.method}; ticks at the foot are suspensions."
        f"{thinning if failures > MOST_POINTS else ''}"
    )


def plot_rows(estimate: LifeEstimate, name: str = "") -> list[list[dict[str, Any]]]:
    """Each failure drawn: its age, where it stands, and what the fit says there.

    With a name each row says which population it belongs to.
    """
    points = estimate.points
    assert points is not None
    shown = thinned(points.ages.size)
    ages, shares = points.ages[shown], points.share_failed[shown]
    band = estimate.band(ages)
    rows = []
    for i, (age, share) in enumerate(zip(ages, shares, strict=True)):
        fitted, limits = NO_VALUE, NO_VALUE
        if band is not None:
            fitted = percent(float(band.probability[i]), 1)
            limits = interval(
                float(band.low[i]), float(band.high[i]), lambda s: percent(s, 1)
            )
        rows.append(
            [
                {"text": fixed(float(age), 1)},
                *([{"text": name}] if name else []),
                numeric(percent(float(share), 1)),
                numeric(fitted),
                numeric(limits),
            ]
        )
    return rows
