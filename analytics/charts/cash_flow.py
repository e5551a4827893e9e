"""Money out and in, year by year, and what it comes to so far."""

from collections.abc import Sequence

import plotly.graph_objects as go

from analytics.charts.theme import (
    SOFT_INK,
    bar_style,
    base_figure,
    line_style,
    marker_style,
)


def cash_flow(
    flows: Sequence[float],
    so_far: Sequence[float],
    low: Sequence[float],
    high: Sequence[float],
    currency: str,
) -> go.Figure:
    """Bars of each year, today first; the line adds them up between its limits."""
    years = list(range(len(flows)))
    figure = base_figure(
        x_title="Years from today",
        y_title=currency,
        x_axis={"dtick": 1 if len(flows) <= 16 else 5},
        y_axis={"tickformat": ",.0f"},
    )
    # A filled band would lie above the bars and hide them.
    figure.add_trace(_limits(years, high, is_first=True))
    figure.add_trace(_limits(years, low, is_first=False))
    figure.add_trace(
        go.Bar(x=years, y=list(flows), name="money of the year", marker=bar_style(1))
    )
    figure.add_trace(
        go.Scatter(
            x=years,
            y=list(so_far),
            mode="lines+markers",
            name="sum so far",
            line=line_style(0),
            marker={**marker_style(0), "size": 7},
        )
    )
    figure.add_hline(y=0, line={"color": SOFT_INK, "width": 1})
    return figure


def _limits(
    years: Sequence[int], sums: Sequence[float], *, is_first: bool
) -> go.Scatter:
    return go.Scatter(
        x=list(years),
        y=list(sums),
        mode="lines",
        name="90 % limits of the sum",
        legendgroup="limits",
        showlegend=is_first,
        line=line_style(2),
    )
