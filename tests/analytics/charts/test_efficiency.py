"""The drawings of efficiency and head over time."""

from datetime import UTC, datetime

from analytics.charts.efficiency import WearPoint, efficiency_plot, head_plot

POINTS = [
    WearPoint(datetime(2024, 1, 1, tzinfo=UTC), 69.0, 70.0, False),
    WearPoint(datetime(2024, 7, 1, tzinfo=UTC), 60.0, 70.0, True),
]


def traces(figure):
    return {trace.name: trace for trace in figure.data}


def test_used_and_other_rounds_differ_by_more_than_colour():
    drawn = traces(efficiency_plot(POINTS, 3.5, []))
    used, other = drawn["Efficiency, used for now"], drawn["Efficiency, not used"]
    assert (list(used.y), list(other.y)) == ([60.0], [69.0])
    assert (used.marker.symbol, other.marker.symbol) == ("circle", "circle-open")


def test_the_band_lies_about_as_new():
    band = traces(efficiency_plot(POINTS, 3.5, []))["what plant meters may err"]
    assert list(band.y) == [73.5, 73.5, 66.5, 66.5]


def test_without_as_new_there_is_no_line_and_no_band():
    bare = [WearPoint(one.at, one.value, None, one.is_used) for one in POINTS]
    names = set(traces(efficiency_plot(bare, None, [])))
    assert names == {"Efficiency, used for now", "Efficiency, not used"}


def test_the_opening_is_named():
    figure = efficiency_plot(POINTS, 3.5, [(POINTS[0].at, "opened: R-1")])
    assert [note.text for note in figure.layout.annotations] == ["opened: R-1"]


def test_head_is_drawn_with_that_as_new():
    drawn = traces(head_plot(POINTS))
    assert list(drawn["as new, at the flow of each round"].y) == [70.0, 70.0]
