"""A pump's story on one time axis: a lane for each kind of event and each part.

Every kind has a shape of its own, so that the drawing reads in grey too.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import Any

import plotly.graph_objects as go

from analytics.charts.theme import ACCENT, ALERT, CAUTION, INK, SOFT_INK, base_figure

LANE_HEIGHT = 36
# Room for the time axis, and for a legend that wraps on a narrow screen.
FRAME_HEIGHT = 200
WIDEST_LANE = 18
# On paper the sheet is wide enough for every name in one line, so lanes stand closer.
PAPER_LANE_HEIGHT = 20
PAPER_FRAME_HEIGHT = 136
PAPER_FONT_SIZE = 10


class Kind(StrEnum):
    """What a mark stands for; the value is its name in the legend."""

    PLACED = "pump placed"
    FAILURE = "repair after a failure"
    REPAIR = "other repair"
    FAILED = "part failed"
    ENDED = "part ended otherwise"
    BEYOND = "reading beyond zone or level"
    CHECK = "check left out of limit"
    ACTION = "action decided"
    DONE = "action done"


@dataclass(frozen=True, slots=True)
class Span:
    """A time that lasted: a placement, or the life of a part."""

    lane: str
    start: datetime
    end: datetime
    words: str


@dataclass(frozen=True, slots=True)
class Mark:
    lane: str
    at: datetime
    kind: Kind
    words: str


# Shape, colour and size.
LOOKS: dict[Kind, tuple[str, str, int]] = {
    Kind.PLACED: ("triangle-right", INK, 10),
    Kind.FAILURE: ("diamond", ALERT, 10),
    Kind.REPAIR: ("diamond-open", INK, 9),
    Kind.FAILED: ("x", ALERT, 8),
    Kind.ENDED: ("circle-open", SOFT_INK, 8),
    Kind.BEYOND: ("triangle-up", CAUTION, 8),
    Kind.CHECK: ("square", CAUTION, 8),
    Kind.ACTION: ("star", ACCENT, 11),
    Kind.DONE: ("star-open", ACCENT, 11),
}


def story_timeline(
    lanes: Sequence[str],
    spans: Sequence[Span],
    marks: Sequence[Mark],
    since: datetime,
    until: datetime,
) -> go.Figure:
    """Draw the lanes from the top down, from one moment to another."""
    figure = base_figure(
        x_title="",
        y_title="",
        height=FRAME_HEIGHT + LANE_HEIGHT * len(lanes),
        x_axis={"type": "date", "range": [since, until]},
        y_axis={
            "type": "category",
            "categoryorder": "array",
            "categoryarray": [wrapped(lane) for lane in reversed(lanes)],
            "range": [-0.6, len(lanes) - 0.4],
            "ticks": "",
        },
        hovermode="closest",
    )
    figure.update_layout(meta={"paper": _on_paper(figure, lanes)})
    _draw_spans(figure, spans)
    for kind in Kind:
        own = [mark for mark in marks if mark.kind is kind]
        if own:
            _draw_marks(figure, kind, own)
    return figure


def _on_paper(figure: go.Figure, lanes: Sequence[str]) -> dict[str, Any]:
    """Parts of the layout that are others in print; `charts.js` puts them in."""
    layout = figure.layout.to_plotly_json()
    axis = {
        **layout["yaxis"],
        "tickvals": [wrapped(lane) for lane in lanes],
        "ticktext": list(lanes),
    }
    return {
        "height": PAPER_FRAME_HEIGHT + PAPER_LANE_HEIGHT * len(lanes),
        "font": {**layout["font"], "size": PAPER_FONT_SIZE},
        "margin": {**layout["margin"], "t": 8, "b": 24},
        "yaxis": axis,
    }


def _draw_spans(figure: go.Figure, spans: Sequence[Span]) -> None:
    """One line for all of them, broken between two."""
    x: list[datetime | None] = []
    y: list[str | None] = []
    words: list[str | None] = []
    for span in spans:
        lane = wrapped(span.lane)
        x += [span.start, span.end, None]
        y += [lane, lane, None]
        words += [span.words, span.words, None]
    figure.add_scatter(
        x=x,
        y=y,
        text=words,
        hoverinfo="text",
        mode="lines",
        line={"color": SOFT_INK, "width": 3},
        name="standing or in service",
        connectgaps=False,
    )


def _draw_marks(figure: go.Figure, kind: Kind, marks: Sequence[Mark]) -> None:
    symbol, colour, size = LOOKS[kind]
    figure.add_scatter(
        x=[mark.at for mark in marks],
        y=[wrapped(mark.lane) for mark in marks],
        text=[mark.words for mark in marks],
        hoverinfo="text",
        mode="markers",
        marker={
            "symbol": symbol,
            "color": colour,
            "size": size,
            "line": {"color": colour, "width": 1.5},
        },
        name=kind.value,
    )


def wrapped(lane: str) -> str:
    """A long name in two lines, broken after its last comma or middle space."""
    if len(lane) <= WIDEST_LANE:
        return lane
    head, comma, tail = lane.rpartition(", ")
    if comma:
        return f"{head},<br>{tail}"
    cut = lane.rfind(" ", 0, WIDEST_LANE)
    return lane if cut < 0 else f"{lane[:cut]}<br>{lane[cut + 1 :]}"
