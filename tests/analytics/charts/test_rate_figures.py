"""Figures of rates and costs: what is drawn, and that colour is never alone."""

from datetime import date

from analytics.charts.mtbr_line import mtbr_line
from analytics.charts.pareto import pareto
from analytics.charts.rates import rate_plot
from analytics.charts.theme import SERIES, figure_json

DAYS = [date(2024, month, 28) for month in range(1, 6)]


def test_the_line_breaks_where_there_were_no_repairs_and_the_bound_is_marked():
    figure = mtbr_line(
        DAYS,
        [10.0, 12.0, None, 14.0, 15.0],
        [8.0, 9.0, 5.0, 10.0, 11.0],
        [13.0, 15.0, None, 18.0, 19.0],
        band="90 % interval",
    )
    bands = [trace for trace in figure.data if trace.fill == "toself"]
    assert [len(band.x) for band in bands] == [4, 4]
    assert [(band.name, band.showlegend) for band in bands] == [
        ("90 % interval", True),
        ("90 % interval", False),
    ]
    line = next(trace for trace in figure.data if trace.name == "MTBR")
    assert list(line.y) == [10.0, 12.0, None, 14.0, 15.0]
    bound = next(trace for trace in figure.data if trace.name.startswith("no repairs"))
    assert (list(bound.x), list(bound.y)) == ([DAYS[2]], [5.0])


def test_the_band_goes_along_the_upper_limits_and_back_along_the_lower():
    figure = mtbr_line(DAYS[:2], [10.0, 12.0], [8.0, 9.0], [13.0, 15.0], band="")
    assert list(figure.data[0].y) == [13.0, 15.0, 9.0, 8.0]


def test_error_bars_reach_from_the_low_to_the_high_limit():
    figure = rate_plot(["A"], [3.0], [2.0], [1.5], [4.0], [1.0])
    bars = figure.data[0].error_x
    assert (list(bars.arrayminus), list(bars.array)) == ([0.5], [2.0])


def test_the_two_costs_stand_side_by_side_and_are_not_stacked():
    figure = pareto(["A", "B"], [30.0, 10.0], [5.0, 6.0], [0.75, 1.0], "EUR")
    assert figure.layout.barmode == "group"
    assert figure.layout.yaxis.title.text == "EUR"
    patterns = [trace.marker.pattern.shape for trace in figure.data[:2]]
    assert patterns[0] != patterns[1]


def test_the_share_has_its_axis_title_and_marks_that_no_bar_hides():
    figure = pareto(["A", "B"], [30.0, 10.0], [5.0, 6.0], [0.75, 1.0], "EUR")
    *bars, share = figure.data
    assert figure.layout.yaxis2.title.text == "Share of all repair cost"
    assert share.marker.color not in {bar.marker.color for bar in bars}
    assert share.marker.line.width > 0


def test_series_differ_in_more_than_colour():
    for feature in ("dash", "symbol", "pattern"):
        assert len({style[feature] for style in SERIES}) == len(SERIES)


def test_a_figure_is_plain_data_for_the_page():
    data = figure_json(pareto(["A"], [1.0], [2.0], [1.0], "EUR"))
    assert data["data"][0]["y"] == [1.0]
