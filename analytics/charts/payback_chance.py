"""Chance to have paid back, month by month."""

from collections.abc import Sequence

import plotly.graph_objects as go

from analytics.charts.theme import SOFT_INK, base_figure, line_style


def payback_chance(
    months: Sequence[int],
    simple: Sequence[float],
    discounted: Sequence[float],
    asked: int,
) -> go.Figure:
    """Two rising lines; the dashed upright stands at the months asked for.

    `simple` and `discounted` are shares of one at each of the months.
    """
    figure = base_figure(
        x_title="Months from today",
        y_title="Chance to have paid back",
        x_axis={"rangemode": "tozero", "dtick": 12 if len(months) <= 241 else 60},
        y_axis={"range": [0, 1.02], "tickformat": ".0%"},
    )
    for series, (name, chances) in enumerate(
        (("simple", simple), ("discounted", discounted))
    ):
        figure.add_trace(
            go.Scatter(
                x=list(months),
                y=list(chances),
                mode="lines",
                name=name,
                line=line_style(series),
                hovertemplate="%{x} months: %{y:.0%}",
            )
        )
    figure.add_vline(x=asked, line={"color": SOFT_INK, "width": 1, "dash": "dash"})
    return figure
