"""Counts after a change beside what was expected without it."""

from collections.abc import Sequence
from dataclasses import dataclass

import plotly.graph_objects as go

from analytics.charts.theme import base_figure, marker_style


@dataclass(frozen=True, slots=True)
class LookDrawn:
    """One look: the count, the expected one and the range of nine in ten."""

    label: str
    counted: int
    expected: float
    low: int
    high: int


def before_after(looks: Sequence[LookDrawn]) -> go.Figure:
    """Draw looks from left to right; a count below its bar is beyond chance."""
    labels = [look.label for look in looks]
    figure = base_figure(
        x_title="Months after it was done",
        y_title="Events, all units together",
        height=360,
        x_axis={"type": "category"},
        y_axis={"rangemode": "tozero"},
    )
    expected = marker_style(2)
    figure.add_scatter(
        x=labels,
        y=[look.expected for look in looks],
        mode="markers",
        name="expected if nothing changed",
        marker={**expected, "symbol": "line-ew-open", "size": 22},
        error_y={
            "type": "data",
            "symmetric": False,
            "array": [look.high - look.expected for look in looks],
            "arrayminus": [look.expected - look.low for look in looks],
            "color": expected["color"],
            "thickness": 1.5,
            "width": 8,
        },
    )
    figure.add_scatter(
        x=labels,
        y=[look.counted for look in looks],
        mode="markers",
        name="counted",
        marker={**marker_style(0), "size": 11},
    )
    return figure
