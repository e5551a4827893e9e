"""The probability plot: points, fitted line and band on Weibull paper."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import plotly.graph_objects as go
from numpy.typing import NDArray

from analytics.charts.theme import (
    ACCENT_SHADE,
    SOFT_INK,
    base_figure,
    line_style,
    marker_style,
)

Floats = NDArray[np.float64]
PERCENT_TICKS = (0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 30, 50, 70, 90, 95, 99, 99.9)
MOST_POINTS = 400


@dataclass(frozen=True, slots=True, eq=False)
class PlotSeries:
    """One population on the plot; arrays are empty where there is nothing to draw."""

    name: str
    failure_ages: Floats
    failure_share: Floats
    suspension_ages: Floats
    line_ages: Floats
    line_share: Floats
    low: Floats
    high: Floats


def weibull_plot(series: Sequence[PlotSeries], *, unit_words: str) -> go.Figure:
    """Draw populations on log age against ln(-ln(1 - share failed)).

    On these axes a Weibull distribution is a straight line whose slope is the shape.
    """
    bottom, top = _share_range(series)
    ticks = [p for p in PERCENT_TICKS if bottom * 100 <= p <= top * 100]
    figure = base_figure(
        x_title=f"Age, {unit_words} (logarithmic)",
        y_title="Share failed, %",
        height=460,
        x_axis=_age_axis(series),
        y_axis={
            "range": [_weibull_scale(bottom), _weibull_scale(top)],
            "tickvals": [_weibull_scale(p / 100) for p in ticks],
            "ticktext": [f"{p:g}" for p in ticks],
        },
    )
    for place, population in enumerate(series):
        _draw_band(figure, population, place)
        _draw_line(figure, population, place)
        _draw_points(figure, population, place, bottom)
    if len(series) > 1:
        _name_populations(figure)
    return figure


def _name_populations(figure: go.Figure) -> None:
    """Say in the legend which population each mark belongs to."""
    for trace in figure.data:
        trace.name = f"{trace.name}, {trace.meta}"


def _weibull_scale(share: float) -> float:
    return float(np.log(-np.log1p(-share)))


def _age_axis(series: Sequence[PlotSeries]) -> dict[str, Any]:
    """Logarithmic axis that holds every age, with ticks at round ages."""
    ages = np.concatenate(
        [
            part
            for one in series
            for part in (one.failure_ages, one.suspension_ages, one.line_ages)
        ]
    )
    low, high = float(ages.min()) * 0.9, float(ages.max()) * 1.1
    # A handful of ticks whatever the span, so that they fit on a phone.
    spans = {5: (1, 1.5, 2, 3, 4, 5, 6, 8), 30: (1, 2, 5), np.inf: (1, 3)}
    steps = next(found for span, found in spans.items() if high / low <= span)
    powers = range(int(np.floor(np.log10(low))), int(np.ceil(np.log10(high))) + 1)
    ticks = [step * 10.0**power for power in powers for step in steps]
    ticks = [tick for tick in ticks if low <= tick <= high]
    return {
        "type": "log",
        "range": [float(np.log10(low)), float(np.log10(high))],
        "tickvals": ticks,
        "ticktext": [f"{tick:,.10g}" for tick in ticks],
    }


def _share_range(series: Sequence[PlotSeries]) -> tuple[float, float]:
    """Shares that hold all points, with room, in whole steps of the paper."""
    drawn = [s.failure_share for s in series if s.failure_share.size]
    shares = np.concatenate(drawn) if drawn else np.array([0.01, 0.99])
    low = max(p for p in PERCENT_TICKS if p <= max(shares.min() * 60, 0.1)) / 100
    higher = [p for p in PERCENT_TICKS if p / 100 > shares.max()]
    return low, (higher[0] if higher else 99.9) / 100


def _draw_band(figure: go.Figure, series: PlotSeries, place: int) -> None:
    if not series.line_ages.size or place:
        return
    inside = (series.low > 0) & (series.high < 1)
    ages = series.line_ages[inside]
    edge = [*ages, *ages[::-1]]
    limits = [*series.low[inside], *series.high[inside][::-1]]
    figure.add_scatter(
        x=edge,
        y=[_weibull_scale(float(share)) for share in limits],
        fill="toself",
        fillcolor=ACCENT_SHADE,
        line={"width": 0},
        mode="lines",
        hoverinfo="skip",
        name="Confidence band",
        meta=series.name,
    )


def _draw_line(figure: go.Figure, series: PlotSeries, place: int) -> None:
    if not series.line_ages.size:
        return
    figure.add_scatter(
        x=list(series.line_ages),
        y=[_weibull_scale(float(share)) for share in series.line_share],
        mode="lines",
        line={**line_style(place), "width": 2},
        hoverinfo="skip",
        name="Fitted line",
        meta=series.name,
    )


def _draw_points(
    figure: go.Figure, series: PlotSeries, place: int, bottom: float
) -> None:
    shown = thinned(series.failure_ages.size)
    shares = series.failure_share[shown]
    figure.add_scatter(
        x=list(series.failure_ages[shown]),
        y=[_weibull_scale(float(share)) for share in shares],
        customdata=[f"{share:.1%}" for share in shares],
        hovertemplate="%{x:,.0f}: %{customdata}<extra></extra>",
        mode="markers",
        marker={**marker_style(place), "size": 8},
        name="Failures",
        meta=series.name,
    )
    if not series.suspension_ages.size or place:
        return
    waiting = np.sort(series.suspension_ages)[thinned(series.suspension_ages.size)]
    figure.add_scatter(
        x=list(waiting),
        y=[_weibull_scale(bottom)] * waiting.size,
        hovertemplate="%{x:,.0f}: suspended<extra></extra>",
        mode="markers",
        marker={"symbol": "line-ns-open", "size": 12, "color": SOFT_INK},
        cliponaxis=False,
        name="Suspensions",
        meta=series.name,
    )


def thinned(size: int) -> NDArray[np.int64]:
    """Places of at most some hundred points, first and last among them."""
    if size <= MOST_POINTS:
        return np.arange(size)
    return np.unique(np.linspace(0, size - 1, MOST_POINTS).round().astype(np.int64))
