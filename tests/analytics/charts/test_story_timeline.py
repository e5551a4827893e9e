"""The story's time axis as drawn."""

from datetime import UTC, datetime, timedelta

from analytics.charts.story_timeline import (
    LOOKS,
    Kind,
    Mark,
    Span,
    story_timeline,
    wrapped,
)

BEGAN = datetime(2020, 1, 1, tzinfo=UTC)
DAY = timedelta(days=1)


def test_every_kind_has_a_shape_of_its_own():
    assert set(LOOKS) == set(Kind)
    assert len({symbol for symbol, _colour, _size in LOOKS.values()}) == len(Kind)


def test_lanes_run_from_the_top_and_spans_do_not_join():
    lanes = ("Repairs", "Seal, single end, inner")
    spans = [
        Span(lanes[1], BEGAN, BEGAN + DAY, "first"),
        Span(lanes[1], BEGAN + 2 * DAY, BEGAN + 3 * DAY, "second"),
    ]
    marks = [Mark(lanes[0], BEGAN + DAY, Kind.FAILURE, "R-1")]
    figure = story_timeline(lanes, spans, marks, BEGAN, BEGAN + 4 * DAY)
    line, failure = figure.data
    assert list(line.x)[2] is None
    assert list(figure.layout.yaxis.categoryarray)[-1] == "Repairs"
    assert failure.marker.symbol == "diamond"
    assert list(failure.text) == ["R-1"]


def test_long_lanes_break_after_their_last_comma():
    assert wrapped("Seal, single end, inner") == "Seal, single end,<br>inner"
    assert wrapped("Repairs") == "Repairs"


def test_on_paper_every_name_stands_in_one_line_and_lanes_stand_closer():
    lanes = ("Repairs", "Seal, single end, inner", "Radial bearing, non-drive end")
    figure = story_timeline(lanes, [], [], BEGAN, BEGAN + DAY)
    paper = figure.layout.meta["paper"]
    assert paper["yaxis"]["ticktext"] == list(lanes)
    assert paper["yaxis"]["tickvals"] == [wrapped(lane) for lane in lanes]
    assert paper["yaxis"]["range"] == [-0.6, 2.6]
    assert paper["height"] < figure.layout.height
    assert paper["font"]["size"] < figure.layout.font.size
