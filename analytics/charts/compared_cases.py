"""What cases are worth beside each other: net present value with its interval."""

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass

import plotly.graph_objects as go

from analytics.charts.theme import SOFT_INK, base_figure, marker_style

LABEL_WIDTH = 22
ROOM = 130
LINE_HEIGHT = 60


@dataclass(frozen=True, slots=True)
class CaseDrawn:
    """One case; its limits are None where nothing is uncertain."""

    label: str
    worth: float
    low: float | None
    high: float | None


def compared_cases(cases: Sequence[CaseDrawn], currency: str) -> go.Figure:
    """Draw cases from top to bottom; what lies right of zero pays."""
    labels = [_wrapped(case.label) for case in cases]
    figure = base_figure(
        x_title=f"Net present value, {currency}",
        y_title="",
        height=ROOM + LINE_HEIGHT * len(cases),
        y_axis={"autorange": "reversed", "type": "category"},
    )
    figure.add_vline(x=0, line={"color": SOFT_INK, "width": 1, "dash": "dash"})
    style = marker_style(0)
    figure.add_scatter(
        x=[case.worth for case in cases],
        y=labels,
        mode="markers",
        showlegend=False,
        marker={**style, "size": 11},
        hovertemplate="%{x:,.0f}<extra></extra>",
        error_x={
            "type": "data",
            "symmetric": False,
            "array": [_reach(case.worth, case.high) for case in cases],
            "arrayminus": [_reach(case.worth, case.low) for case in cases],
            "color": style["color"],
            "thickness": 1.5,
            "width": 8,
        },
    )
    return figure


def _reach(worth: float, limit: float | None) -> float:
    """How far the line goes from its mark."""
    return 0.0 if limit is None else abs(limit - worth)


def _wrapped(label: str) -> str:
    """A label in lines short enough for a phone."""
    return "<br>".join(textwrap.wrap(label, LABEL_WIDTH))
