"""Fitted distributions against the curve that assumes none."""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
import plotly.graph_objects as go
from numpy.typing import NDArray

from analytics.charts.theme import ACCENT_SHADE, INK, base_figure, line_style

Floats = NDArray[np.float64]


def survival_curves(
    steps: tuple[Floats, Floats, Floats, Floats],
    ages: Floats,
    candidates: Sequence[tuple[str, Floats]],
    *,
    unit_words: str,
) -> go.Figure:
    """Share surviving; `steps` are age, estimate and both limits of the steps."""
    figure = base_figure(
        x_title=f"Age, {unit_words}",
        y_title="Share surviving",
        x_axis={"rangemode": "tozero"},
        y_axis={"range": [0, 1.02], "tickformat": ".0%"},
    )
    time, share, low, high = (
        np.concatenate([[first], values])
        for first, values in zip((0.0, 1.0, 1.0, 1.0), steps, strict=True)
    )
    figure.add_trace(_limit(time, high, "upper limit", is_filled=False))
    figure.add_trace(_limit(time, low, "limits of the steps", is_filled=True))
    observed = {"shape": "hv", "color": INK, "width": 1.5}
    figure.add_trace(_line(time, share, "as observed (Kaplan-Meier)", observed))
    for series, (name, values) in enumerate(candidates):
        figure.add_trace(_line(ages, values, name, line_style(series)))
    return figure


def _limit(time: Floats, values: Floats, name: str, *, is_filled: bool) -> go.Scatter:
    """One limit of the steps; the lower one fills up to the upper."""
    trace = _line(time, values, name, {"shape": "hv", "width": 0})
    trace.update(
        fill="tonexty" if is_filled else None,
        fillcolor=ACCENT_SHADE,
        showlegend=is_filled,
        hoverinfo="skip",
    )
    return trace


def _line(x: Floats, y: Floats, name: str, line: Mapping[str, Any]) -> go.Scatter:
    return go.Scatter(x=list(x), y=list(y), mode="lines", name=name, line=dict(line))
