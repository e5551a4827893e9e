"""Cost by unit, highest first, with the share that the highest make together."""

from collections.abc import Sequence
from typing import Any

import plotly.graph_objects as go

from analytics.charts.theme import (
    FONT,
    PAPER,
    SOFT_INK,
    bar_style,
    base_figure,
    line_style,
    marker_style,
)

SHARE_AXIS = {
    "title": {
        "text": "Share of all repair cost",
        "font": {"color": SOFT_INK, "size": FONT["size"]},
    },
    "color": SOFT_INK,
    "automargin": True,
    "overlaying": "y",
    "side": "right",
    "range": [0, 1],
    "tickmode": "linear",
    "dtick": 0.2,
    "tickformat": ".0%",
    "showgrid": False,
}


def pareto(
    labels: Sequence[str],
    repair_cost: Sequence[float],
    lost_production: Sequence[float],
    running_share: Sequence[float],
    currency: str,
) -> go.Figure:
    """Bars side by side, never stacked: the two costs are not added up.

    `running_share` is the share of all repair cost up to and with each unit, 0..1.
    """
    figure = base_figure(
        x_title="",
        y_title=currency,
        x_axis={"type": "category", "tickangle": -45},
        barmode="group",
        yaxis2=SHARE_AXIS,
    )
    bars = (("repair cost", repair_cost), ("lost production", lost_production))
    for series, (name, amounts) in enumerate(bars):
        figure.add_trace(
            go.Bar(x=list(labels), y=list(amounts), name=name, marker=bar_style(series))
        )
    figure.add_trace(
        go.Scatter(
            x=list(labels),
            y=list(running_share),
            yaxis="y2",
            mode="lines+markers",
            name="share of all repair cost so far",
            line=line_style(2),
            marker=_mark_on_bars(),
        )
    )
    figure.update_layout(margin={"r": 64})
    return figure


def _mark_on_bars() -> dict[str, Any]:
    """Filled with the colour of the paper: it is seen before a bar and beside it."""
    style = marker_style(2)
    edge = {"color": style["color"], "width": 2}
    return {"symbol": style["symbol"], "color": PAPER, "line": edge, "size": 9}
