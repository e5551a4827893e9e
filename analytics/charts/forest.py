"""Forest plot: one line a comparison, the ratio of life with its interval."""

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass

import plotly.graph_objects as go

from analytics.charts.theme import SOFT_INK, base_figure, marker_style

FRAME_HEIGHT = 120
LINE_HEIGHT = 17
LEAST_HEIGHT = 352
LABEL_WIDTH = 22
TICKS = (0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20)


@dataclass(frozen=True, slots=True)
class ForestLine:
    """One comparison; `is_clear` where it survives the control of false finds."""

    label: str
    ratio: float
    low: float
    high: float
    is_clear: bool


def forest_plot(lines: Sequence[ForestLine]) -> go.Figure:
    """Draw lines from top to bottom; filled marks stand out, open ones may be chance.

    The axis is logarithmic, so that half as long and twice as long lie equally far
    from one.
    """
    figure = base_figure(
        x_title="Times as long (logarithmic)",
        y_title="",
        height=_height(lines),
        x_axis={
            "type": "log",
            "tickvals": list(TICKS),
            "ticktext": [f"{tick:g}" for tick in TICKS],
        },
        y_axis={
            "autorange": "reversed",
            "type": "category",
            "categoryorder": "array",
            "categoryarray": [_wrapped(line.label) for line in lines],
        },
    )
    figure.add_vline(x=1, line={"color": SOFT_INK, "width": 1, "dash": "dash"})
    for is_clear, name in ((True, "stands out"), (False, "may be chance")):
        shown = [line for line in lines if line.is_clear is is_clear]
        if shown:
            figure.add_trace(_marks(shown, name, is_clear))
    return figure


def _marks(lines: Sequence[ForestLine], name: str, is_clear: bool) -> go.Scatter:
    style = marker_style(0 if is_clear else 2)
    symbol = style["symbol"] if is_clear else f"{style['symbol']}-open"
    return go.Scatter(
        x=[line.ratio for line in lines],
        y=[_wrapped(line.label) for line in lines],
        customdata=[[line.low, line.high] for line in lines],
        hovertemplate="%{x:.2f} (%{customdata[0]:.2f} to %{customdata[1]:.2f})"
        "<extra></extra>",
        mode="markers",
        name=name,
        marker={**style, "symbol": symbol, "size": 10},
        error_x={
            "type": "data",
            "symmetric": False,
            "array": [line.high - line.ratio for line in lines],
            "arrayminus": [line.ratio - line.low for line in lines],
            "color": style["color"],
            "thickness": 1.5,
        },
    )


def _height(lines: Sequence[ForestLine]) -> int:
    """Room for the longest label on every line."""
    tallest = max((_wrapped(line.label).count("<br>") + 1 for line in lines), default=1)
    return max(LEAST_HEIGHT, FRAME_HEIGHT + LINE_HEIGHT * (tallest + 1) * len(lines))


def _wrapped(label: str) -> str:
    """A label in lines short enough for a phone."""
    return "<br>".join(textwrap.wrap(label, LABEL_WIDTH))
