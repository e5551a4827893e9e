"""Efficiency and head of a pump over time, against what it did as new."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

import plotly.graph_objects as go

from analytics.charts.theme import (
    ACCENT_SHADE,
    SOFT_INK,
    base_figure,
    line_style,
    marker_style,
)

HEIGHT = 360


@dataclass(frozen=True, slots=True)
class WearPoint:
    """One round: what it showed, what as new would show at its flow, if used."""

    at: datetime
    value: float
    as_new: float | None
    is_used: bool


def efficiency_plot(
    points: Sequence[WearPoint],
    allowance: float | None,
    marks: Sequence[tuple[datetime, str]],
) -> go.Figure:
    """Per cent over time; `allowance` is the width of the band about as new.

    `marks` are moments with a word, such as the opening of the wet end.
    """
    figure = base_figure(
        x_title="Read on", y_title="Efficiency, per cent", height=HEIGHT
    )
    fresh = [one for one in points if one.as_new is not None]
    if fresh and allowance is not None:
        figure.add_trace(_band(fresh, allowance))
    _add_as_new(figure, fresh)
    _add_points(figure, points, "Efficiency")
    for at, word in marks:
        figure.add_vline(
            x=at.timestamp() * 1000,
            line={"color": SOFT_INK, "width": 1, "dash": "dot"},
            annotation={"text": word, "font": {"color": SOFT_INK, "size": 12}},
            annotation_position="top right",
        )
    return figure


def head_plot(points: Sequence[WearPoint]) -> go.Figure:
    """Head over time of rounds at about the same flow; metres."""
    figure = base_figure(
        x_title="Read on", y_title="Head at about the same flow, m", height=HEIGHT
    )
    _add_as_new(figure, [one for one in points if one.as_new is not None])
    _add_points(figure, points, "Head")
    return figure


def _add_as_new(figure: go.Figure, points: Sequence[WearPoint]) -> None:
    if not points:
        return
    figure.add_scatter(
        x=[one.at for one in points],
        y=[one.as_new for one in points],
        mode="lines",
        name="as new, at the flow of each round",
        line={**line_style(1), "width": 1.5},
    )


def _add_points(figure: go.Figure, points: Sequence[WearPoint], name: str) -> None:
    kinds = (
        (True, f"{name}, used for now", {**marker_style(0), "size": 9}),
        (
            False,
            f"{name}, not used",
            {**marker_style(0), "size": 8, "symbol": "circle-open"},
        ),
    )
    for is_used, label, marker in kinds:
        own = [one for one in points if one.is_used is is_used]
        if own:
            figure.add_scatter(
                x=[one.at for one in own],
                y=[one.value for one in own],
                mode="markers",
                name=label,
                marker=marker,
            )


def _band(points: Sequence[WearPoint], allowance: float) -> go.Scatter:
    """About the line as new; inside it plant meters tell nothing."""
    times = [one.at for one in points]
    fresh = [one.as_new or 0.0 for one in points]
    return go.Scatter(
        x=[*times, *reversed(times)],
        y=[
            *[value + allowance for value in fresh],
            *[value - allowance for value in reversed(fresh)],
        ],
        fill="toself",
        fillcolor=ACCENT_SHADE,
        line={"width": 0},
        mode="lines",
        hoverinfo="skip",
        name="what plant meters may err",
    )
