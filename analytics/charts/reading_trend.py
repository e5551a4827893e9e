"""Readings over time: one line a point, zone limits and warning level as rules."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

import plotly.graph_objects as go

from analytics.charts.theme import SOFT_INK, base_figure, line_style, marker_style


@dataclass(frozen=True, slots=True)
class ReadingSeries:
    """One point of one quantity."""

    name: str
    times: Sequence[datetime]
    values: Sequence[float]


def reading_trend(
    series: Sequence[ReadingSeries], rules: Sequence[tuple[str, float]], y_title: str
) -> go.Figure:
    """Draw the series; `rules` are named horizontal lines such as a zone limit."""
    figure = base_figure(
        x_title="Read on", y_title=y_title, y_axis={"rangemode": "tozero"}
    )
    for place, one in enumerate(series):
        figure.add_scatter(
            x=list(one.times),
            y=list(one.values),
            mode="lines+markers",
            name=one.name,
            line={**line_style(place), "width": 1.5},
            marker={**marker_style(place), "size": 6},
        )
    for name, value in rules:
        figure.add_hline(
            y=value,
            line={"color": SOFT_INK, "width": 1, "dash": "dot"},
            annotation={"text": name, "font": {"color": SOFT_INK, "size": 12}},
            annotation_position="top left",
        )
    return figure
