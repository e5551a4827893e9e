"""Cost per unit of time against the age of planned replacement."""

import numpy as np
import plotly.graph_objects as go
from numpy.typing import NDArray

from analytics.charts.theme import SOFT_INK, base_figure, line_style, marker_style

Floats = NDArray[np.float64]
# The curves rise without end towards age zero; the axis ends at so many times
# the cost of running to failure.
HIGHEST = 2.5


def cost_rate(
    ages: Floats,
    by_age: Floats,
    by_block: Floats,
    *,
    run_to_failure: float,
    best: tuple[float, float] | None,
    unit: str,
) -> go.Figure:
    """Two policies and running to failure; a mark at the best age."""
    figure = base_figure(
        x_title=f"Age or interval of planned replacement, {unit}",
        y_title=f"Cost per {unit}",
        x_axis={"rangemode": "tozero"},
        y_axis={"range": [0, HIGHEST * run_to_failure]},
    )
    ends = np.array([ages[0], ages[-1]])
    lines = (
        ("each at this age, or at failure", ages, by_age),
        ("all at this interval, and at failure", ages, by_block),
        ("run to failure", ends, np.full(2, run_to_failure)),
    )
    for series, (name, x, y) in enumerate(lines):
        figure.add_trace(
            go.Scatter(
                x=list(x), y=list(y), mode="lines", name=name, line=line_style(series)
            )
        )
    if best is not None:
        marker = {**marker_style(0), "size": 11, "line": {"color": SOFT_INK}}
        figure.add_trace(
            go.Scatter(
                x=[best[0]], y=[best[1]], mode="markers", name="best age", marker=marker
            )
        )
    return figure
