"""Figures of upgrade cases: what is drawn, from where to where."""

from analytics.charts.cash_flow import cash_flow
from analytics.charts.payback_chance import payback_chance
from analytics.charts.theme import SERIES, figure_json
from analytics.charts.tornado import TornadoLine, tornado

LINES = [
    TornadoLine("Share of failures that stays", 90.0, -30.0, "0.4", "1.2"),
    TornadoLine("Repair cost", 40.0, 60.0, "EUR 900", "EUR 1,200"),
]


def test_tornado_bars_reach_from_the_best_to_the_ends():
    figure = tornado(LINES, 50.0, "Net present value, EUR")
    low, high = figure.data
    assert (low.base, list(low.x)) == (50.0, [40.0, -10.0])
    assert (high.base, list(high.x)) == (50.0, [-80.0, 10.0])
    assert [shape.x0 for shape in figure.layout.shapes] == [50.0, 0]
    assert list(low.y)[0] == "Share of failures that<br>stays"


def test_the_two_ends_differ_in_more_than_colour():
    low, high = tornado(LINES, 50.0, "").data
    patterns = (low.marker.pattern.shape, high.marker.pattern.shape)
    assert patterns == (SERIES[0]["pattern"], SERIES[1]["pattern"])
    assert patterns[0] != patterns[1]


def test_the_longest_bar_is_on_top_and_many_bars_have_room():
    assert tornado(LINES, 50.0, "").layout.yaxis.autorange == "reversed"
    assert tornado(LINES * 6, 50.0, "").layout.height > 500


def test_the_chance_runs_from_none_with_a_line_at_the_months_asked():
    figure = payback_chance([0, 12, 24], [0.0, 0.4, 0.8], [0.0, 0.3, 0.7], 24)
    simple, discounted = figure.data
    assert list(simple.y) == [0.0, 0.4, 0.8]
    assert list(discounted.y) == [0.0, 0.3, 0.7]
    assert simple.line.dash != discounted.line.dash
    assert [shape.x0 for shape in figure.layout.shapes] == [24]


def test_the_sum_so_far_lies_between_its_limits_and_the_bars_are_seen():
    figure = cash_flow(
        [-100.0, 60.0, 60.0], [-100.0, -40.0, 20.0], [-110.0, -70.0, -30.0],
        [-90.0, -10.0, 70.0], "EUR",
    )  # fmt: skip
    high, low, bars, summed = figure.data
    assert list(bars.y) == [-100.0, 60.0, 60.0]
    assert all(a <= b <= c for a, b, c in zip(low.y, summed.y, high.y, strict=True))
    assert not any(trace.fill for trace in (high, low))
    assert [trace.showlegend for trace in (high, low)] == [True, False]
    assert figure_json(figure)["layout"]["yaxis"]["title"]["text"] == "EUR"
