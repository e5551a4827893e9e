"""Costs month by month, with the sum of twelve months as a line above them."""

from collections.abc import Sequence

import plotly.graph_objects as go

from analytics.charts.theme import bar_style, base_figure, line_style, marker_style

NAMES = ("repair cost", "lost production")


def rolling_costs(
    months: Sequence[str],
    monthly: Sequence[Sequence[float]],
    summed: Sequence[Sequence[float]],
    unit: str,
) -> go.Figure:
    """Two drawings on one time axis: months below, sums of twelve months above.

    `monthly` and `summed` hold repair cost and lost production, in this order; they
    stand side by side and are never stacked, since the two are not added up.
    """
    figure = base_figure(
        x_title="Month",
        y_title=f"{unit} a month",
        height=520,
        x_axis={"type": "category", "tickangle": -45, "anchor": "y"},
        y_axis={"domain": [0, 0.45], "rangemode": "tozero"},
        barmode="group",
        yaxis2={
            **base_figure(x_title="", y_title=f"{unit} in 12 months")
            .layout["yaxis"]
            .to_plotly_json(),
            "domain": [0.55, 1],
            "rangemode": "tozero",
            "anchor": "x",
        },
    )
    for series, (name, amounts) in enumerate(zip(NAMES, monthly, strict=True)):
        figure.add_trace(
            go.Bar(x=list(months), y=list(amounts), name=name, marker=bar_style(series))
        )
    for series, (name, amounts) in enumerate(zip(NAMES, summed, strict=True)):
        figure.add_trace(
            go.Scatter(
                x=list(months),
                y=list(amounts),
                yaxis="y2",
                mode="lines+markers",
                name=f"{name}, 12 months",
                line=line_style(series),
                marker={**marker_style(series), "size": 6},
            )
        )
    return figure
