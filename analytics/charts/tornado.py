"""Tornado: what each uncertain input alone does to the outcome, largest first."""

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass

import plotly.graph_objects as go

from analytics.charts.theme import INK, SOFT_INK, bar_style, base_figure

FRAME_HEIGHT = 130
BAR_HEIGHT = 40
LEAST_HEIGHT = 260
LABEL_WIDTH = 22


@dataclass(frozen=True, slots=True)
class TornadoLine:
    """One input: the outcome at its low and at its high limit, and both in words."""

    label: str
    at_low: float
    at_high: float
    low: str
    high: str


def tornado(lines: Sequence[TornadoLine], best: float, outcome: str) -> go.Figure:
    """Bars from the outcome at the best values; the dashed line is nothing gained."""
    labels = [_wrapped(line.label) for line in lines]
    figure = base_figure(
        x_title=outcome,
        y_title="",
        height=max(LEAST_HEIGHT, FRAME_HEIGHT + BAR_HEIGHT * len(lines)),
        x_axis={"tickformat": ",.0f"},
        y_axis={"autorange": "reversed", "type": "category"},
        barmode="overlay",
    )
    ends = (
        ("input at its 5 % limit", [(line.at_low, line.low) for line in lines]),
        ("input at its 95 % limit", [(line.at_high, line.high) for line in lines]),
    )
    for series, (name, outcomes) in enumerate(ends):
        figure.add_trace(
            go.Bar(
                y=labels,
                x=[outcome - best for outcome, _words in outcomes],
                base=best,
                customdata=[[outcome, words] for outcome, words in outcomes],
                hovertemplate="%{customdata[1]}: %{customdata[0]:,.0f}<extra></extra>",
                orientation="h",
                name=name,
                marker=bar_style(series),
                width=0.6,
            )
        )
    figure.add_vline(x=best, line={"color": INK, "width": 1})
    figure.add_vline(x=0, line={"color": SOFT_INK, "width": 1, "dash": "dash"})
    return figure


def _wrapped(label: str) -> str:
    """A label in lines short enough for a phone."""
    return "<br>".join(textwrap.wrap(label, LABEL_WIDTH))
