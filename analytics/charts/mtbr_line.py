"""The rolling mean time between repairs with its band."""

from collections.abc import Sequence
from datetime import date

import plotly.graph_objects as go

from analytics.charts.theme import (
    ACCENT_SHADE,
    base_figure,
    line_style,
    marker_style,
)


def mtbr_line(
    days: Sequence[date],
    values: Sequence[float | None],
    lows: Sequence[float | None],
    highs: Sequence[float | None],
    band: str,
) -> go.Figure:
    """One point a month, months on the upright axis.

    Points without repairs have no value: the line breaks there and the lower
    bound stands as an open mark. `band` names the interval in the legend.
    """
    figure = base_figure(
        x_title="12 months to", y_title="Months", y_axis={"rangemode": "tozero"}
    )
    for place, part in enumerate(stretches(lows, highs)):
        trace = _band(days[part], lows[part], highs[part])
        figure.add_trace(trace.update(name=band, showlegend=place == 0))
    figure.add_trace(
        go.Scatter(
            x=list(days),
            y=list(values),
            mode="lines+markers",
            name="MTBR",
            line=line_style(0),
            marker={**marker_style(0), "size": 5},
            connectgaps=False,
        )
    )
    bounds = [
        (day, low)
        for day, value, low in zip(days, values, lows, strict=True)
        if value is None and low is not None
    ]
    if bounds:
        figure.add_trace(
            go.Scatter(
                x=[day for day, _ in bounds],
                y=[low for _, low in bounds],
                mode="markers",
                name="no repairs: at least",
                marker={**marker_style(1), "symbol": "triangle-up-open", "size": 9},
            )
        )
    return figure


def stretches(
    lows: Sequence[float | None], highs: Sequence[float | None]
) -> list[slice]:
    """Runs of neighbours that have both limits."""
    closed = [
        low is not None and high is not None
        for low, high in zip(lows, highs, strict=True)
    ]
    runs, start = [], None
    for place, is_closed in enumerate([*closed, False]):
        if is_closed and start is None:
            start = place
        elif not is_closed and start is not None:
            runs.append(slice(start, place))
            start = None
    return runs


def _band(
    days: Sequence[date], lows: Sequence[float | None], highs: Sequence[float | None]
) -> go.Scatter:
    return go.Scatter(
        x=[*days, *reversed(days)],
        y=[*highs, *reversed(lows)],
        fill="toself",
        fillcolor=ACCENT_SHADE,
        line={"width": 0},
        mode="lines",
        hoverinfo="skip",
        # The stretches are one band, so one line of the legend stands for all.
        legendgroup="band",
    )
