"""The forest plot as drawn."""

from analytics.charts.forest import LEAST_HEIGHT, ForestLine, forest_plot

CLEAR = ForestLine("plan 21 instead of 11", 2.0, 1.2, 3.0, True)
OPEN = ForestLine("temperature higher by 30 °C", 0.8, 0.5, 1.1, False)


def test_marks_that_stand_out_are_filled_and_the_others_open():
    clear, unsure = forest_plot([OPEN, CLEAR]).data
    assert (clear.name, list(clear.x)) == ("stands out", [2.0])
    assert (unsure.name, list(unsure.x)) == ("may be chance", [0.8])
    assert not clear.marker.symbol.endswith("-open")
    assert unsure.marker.symbol.endswith("-open")


def test_the_interval_reaches_from_limit_to_limit():
    (clear,) = forest_plot([CLEAR]).data
    assert clear.error_x.array[0] == 3.0 - 2.0
    assert clear.error_x.arrayminus[0] == 2.0 - 1.2


def test_lines_keep_their_order_from_top_to_bottom():
    axis = forest_plot([OPEN, CLEAR]).layout.yaxis
    assert axis.autorange == "reversed"
    assert [name.replace("<br>", " ") for name in axis.categoryarray] == [
        OPEN.label,
        CLEAR.label,
    ]


def test_the_axis_is_logarithmic_about_one():
    layout = forest_plot([CLEAR]).layout
    assert layout.xaxis.type == "log"
    assert [shape.x0 for shape in layout.shapes] == [1]


def test_long_labels_get_their_room():
    long = ForestLine(
        "faces silicon carbide instead of " + "carbon " * 12, 1, 1, 1, True
    )
    height = forest_plot([long] * 6).layout.height
    assert height > forest_plot([CLEAR] * 6).layout.height >= LEAST_HEIGHT
    assert max(map(len, forest_plot([long]).data[0].y[0].split("<br>"))) <= 22
