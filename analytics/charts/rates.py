"""Rates of units beside their peers: raw, pulled towards the peers, and interval."""

from collections.abc import Sequence
from typing import Any

import plotly.graph_objects as go

from analytics.charts.theme import SOFT_INK, base_figure, marker_style

ROW_HEIGHT = 26
FRAME_HEIGHT = 130


def rate_plot(
    labels: Sequence[str],
    raw: Sequence[float],
    posterior: Sequence[float],
    low: Sequence[float],
    high: Sequence[float],
    peers: Sequence[float],
) -> go.Figure:
    """One line a unit, worst on top; rates in events a year."""
    figure = base_figure(
        x_title="Events a year",
        y_title="",
        height=FRAME_HEIGHT + ROW_HEIGHT * len(labels),
        x_axis={"rangemode": "tozero"},
        y_axis={"autorange": "reversed", "type": "category"},
    )
    figure.add_trace(_estimates(labels, posterior, low, high))
    counted = {**marker_style(1), "symbol": "square-open", "size": 8}
    figure.add_trace(_marks(labels, raw, "as counted", counted))
    of_peers = {"color": SOFT_INK, "symbol": "line-ns-open", "size": 14}
    figure.add_trace(_marks(labels, peers, "its peers", of_peers))
    return figure


def _estimates(
    labels: Sequence[str],
    posterior: Sequence[float],
    low: Sequence[float],
    high: Sequence[float],
) -> go.Scatter:
    above = [limit - rate for limit, rate in zip(high, posterior, strict=True)]
    below = [rate - limit for limit, rate in zip(low, posterior, strict=True)]
    marker = {**marker_style(0), "size": 9}
    points = _marks(labels, posterior, "estimate, pulled towards its peers", marker)
    points.error_x = {
        "type": "data",
        "symmetric": False,
        "array": above,
        "arrayminus": below,
        "color": marker["color"],
        "thickness": 1.5,
    }
    return points


def _marks(
    labels: Sequence[str], rates: Sequence[float], name: str, marker: dict[str, Any]
) -> go.Scatter:
    return go.Scatter(
        x=list(rates), y=list(labels), mode="markers", name=name, marker=marker
    )
