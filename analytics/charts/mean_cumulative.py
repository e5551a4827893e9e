"""Mean cumulative curves of positions, with their band, as steps."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import plotly.graph_objects as go
from numpy.typing import NDArray

from analytics.charts.theme import ACCENT_SHADE, HAIRLINE, base_figure, line_style

Floats = NDArray[np.float64]
MOST_STEPS = 2_000
SMOOTH_POINTS = 60
SHADES = (ACCENT_SHADE, HAIRLINE)


@dataclass(frozen=True, slots=True, eq=False)
class StepCurve:
    """One curve; a single position has no limits. `end` is the end of its watch."""

    name: str
    time: Floats
    mean: Floats
    lower: Floats | None
    upper: Floats | None
    end: float


def mean_cumulative_plot(
    curves: Sequence[StepCurve],
    *,
    unit_words: str,
    event: str,
    power_law: tuple[float, float] | None = None,
) -> go.Figure:
    """Draw steps; `power_law` is scale and shape of a line through the first curve."""
    figure = base_figure(
        x_title=f"{unit_words.capitalize()} on record",
        y_title=f"{event.capitalize()}s per position",
        y_axis={"rangemode": "tozero"},
        x_axis={"rangemode": "tozero"},
    )
    # A filled band would otherwise turn the legend upside down.
    figure.update_layout(legend_traceorder="normal")
    for place, curve in enumerate(curves):
        _draw_band(figure, curve, place)
    for place, curve in enumerate(curves):
        x, y = _steps(curve, curve.mean)
        figure.add_scatter(
            x=x,
            y=y,
            mode="lines",
            line={**line_style(place), "width": 2, "shape": "hv"},
            name=curve.name,
        )
    if power_law is not None and curves:
        _draw_power_law(figure, power_law, curves[0].end, len(curves))
    return figure


def _draw_band(figure: go.Figure, curve: StepCurve, place: int) -> None:
    if curve.lower is None or curve.upper is None:
        return
    # Limits begin with the first event: before it there is nothing to take a log of.
    for limits, fill in ((curve.lower, None), (curve.upper, "tonexty")):
        x, y = _steps(curve, limits, from_zero=False)
        figure.add_scatter(
            x=x,
            y=y,
            mode="lines",
            line={"width": 0, "shape": "hv"},
            fill=fill,
            fillcolor=SHADES[place % len(SHADES)],
            hoverinfo="skip",
            showlegend=False,
            name=f"{curve.name}, limit",
        )


def _draw_power_law(
    figure: go.Figure, power_law: tuple[float, float], end: float, place: int
) -> None:
    scale, shape = power_law
    ages = np.linspace(0.0, end, SMOOTH_POINTS)
    figure.add_scatter(
        x=list(ages),
        y=list(scale * ages**shape),
        mode="lines",
        line={**line_style(place), "width": 1.5},
        hoverinfo="skip",
        name="power law",
    )


def _steps(
    curve: StepCurve, values: Floats, *, from_zero: bool = True
) -> tuple[list[float], list[float]]:
    """Corners of the steps, carried on to the end of the watch."""
    if not values.size:
        # Watched without an event: a line along the axis.
        return [0.0, curve.end], [0.0, 0.0]
    shown = kept_steps(curve.time.size, MOST_STEPS)
    x, y = [*curve.time[shown], curve.end], [*values[shown], values[-1]]
    return ([0.0, *x], [0.0, *y]) if from_zero else (x, y)


def kept_steps(size: int, most: int) -> NDArray[np.int64]:
    """Places of at most so many steps, first and last among them."""
    if size <= most:
        return np.arange(size)
    return np.unique(np.linspace(0, size - 1, most).round().astype(np.int64))
