"""Colours, fonts and margins of every figure; the same values as the style sheet."""

import json
from typing import Any

import plotly.graph_objects as go

INK = "#1b2126"
SOFT_INK = "#49535b"
HAIRLINE = "#dad6ca"
PAPER = "#fdfcf9"
ACCENT = "#1c4f74"
ACCENT_SHADE = "#e5edf3"
ALERT = "#97291b"
CAUTION = "#6f4b00"

FONT = {"family": "system-ui, sans-serif", "size": 13, "color": INK}
MARGIN = {"l": 64, "r": 16, "t": 16, "b": 56}
HEIGHT = 400

# Series differ by dash, marker and hatching too, so that colour is never alone.
SERIES: tuple[dict[str, str], ...] = (
    {"color": ACCENT, "dash": "solid", "symbol": "circle", "pattern": ""},
    {"color": CAUTION, "dash": "dash", "symbol": "square", "pattern": "/"},
    {"color": SOFT_INK, "dash": "dot", "symbol": "diamond", "pattern": "x"},
    {"color": ALERT, "dash": "dashdot", "symbol": "x", "pattern": "\\"},
)


def _axis(title: str, **more: Any) -> dict[str, Any]:
    return {
        "title": {"text": title, "font": {"color": SOFT_INK, "size": 13}},
        "color": SOFT_INK,
        "gridcolor": HAIRLINE,
        "linecolor": SOFT_INK,
        "zeroline": False,
        "ticks": "outside",
        "automargin": True,
        **more,
    }


def figure_layout(
    *,
    x_title: str,
    y_title: str,
    height: int = HEIGHT,
    x_axis: dict[str, Any] | None = None,
    y_axis: dict[str, Any] | None = None,
    **more: Any,
) -> dict[str, Any]:
    """Layout of one figure; axis settings and further layout keys go on top."""
    return {
        "height": height,
        "font": FONT,
        "margin": MARGIN,
        "paper_bgcolor": PAPER,
        "plot_bgcolor": PAPER,
        "hoverlabel": {"font": FONT},
        "legend": {"orientation": "h", "x": 0, "y": 1.02, "yanchor": "bottom"},
        "xaxis": _axis(x_title, **(x_axis or {})),
        "yaxis": _axis(y_title, **(y_axis or {})),
        **more,
    }


def base_figure(**layout: Any) -> go.Figure:
    """An empty figure in our dress; arguments as in `figure_layout`."""
    # Plotly's own template would print its colours into every page. The layout is
    # given at once: put on a figure that is there it takes ten times as long.
    return go.Figure(layout={"template": "none", **figure_layout(**layout)})


def line_style(series: int) -> dict[str, str]:
    """Colour and dash of the series-th line."""
    style = SERIES[series % len(SERIES)]
    return {"color": style["color"], "dash": style["dash"]}


def marker_style(series: int) -> dict[str, str]:
    """Colour and shape of the series-th kind of point."""
    style = SERIES[series % len(SERIES)]
    return {"color": style["color"], "symbol": style["symbol"]}


def bar_style(series: int) -> dict[str, Any]:
    """Colour and hatching of the series-th kind of bar."""
    style = SERIES[series % len(SERIES)]
    return {
        "color": style["color"],
        "pattern": {
            "shape": style["pattern"],
            "fillmode": "overlay",
            "fgcolor": PAPER,
            "size": 6,
        },
    }


def figure_json(figure: go.Figure) -> dict[str, Any]:
    """The figure as plain data that the chart component can print."""
    data: dict[str, Any] = json.loads(figure.to_json())
    return data
