"""The mean cumulative curve as drawn."""

import numpy as np

from analytics.charts.mean_cumulative import (
    MOST_STEPS,
    StepCurve,
    kept_steps,
    mean_cumulative_plot,
)

TIME = np.array([10.0, 40.0])
MEAN = np.array([0.5, 1.5])


def curve(name="Chosen", limits=True):
    low, high = (MEAN / 2, MEAN * 2) if limits else (None, None)
    return StepCurve(name, TIME, MEAN, low, high, 100.0)


def traces(*curves, power_law=None):
    figure = mean_cumulative_plot(
        curves, unit_words="days", event="repair", power_law=power_law
    )
    return figure, {trace.name: trace for trace in figure.data}


def test_steps_begin_at_nothing_and_go_on_to_the_end_of_the_watch():
    figure, found = traces(curve())
    line = found["Chosen"]
    assert (list(line.x), list(line.y)) == ([0, 10, 40, 100], [0, 0.5, 1.5, 1.5])
    assert line.line.shape == "hv"
    assert figure.layout.yaxis.title.text == "Repairs per position"
    assert figure.layout.xaxis.title.text == "Days on record"


def test_the_band_lies_between_the_limits_and_not_in_the_legend():
    figure, _ = traces(curve())
    low, high = figure.data[:2]
    assert (list(low.y), list(high.y)) == ([0.25, 0.75, 0.75], [1, 3, 3])
    assert (low.fill, high.fill) == (None, "tonexty")
    assert not low.showlegend
    assert not high.showlegend


def test_a_single_position_has_no_band():
    figure, _ = traces(curve(limits=False))
    assert [trace.name for trace in figure.data] == ["Chosen"]


def test_a_position_without_events_lies_along_the_axis():
    nothing = np.array([])
    _, found = traces(StepCurve("None", nothing, nothing, None, None, 100.0))
    assert (list(found["None"].x), list(found["None"].y)) == ([0, 100], [0, 0])


def test_curves_differ_by_more_than_colour():
    _, found = traces(curve("One"), curve("Two"))
    assert found["One"].line.dash != found["Two"].line.dash


def test_the_power_law_runs_from_nothing_to_its_expected_events():
    _, found = traces(curve(), power_law=(0.02, 1.5))
    law = found["power law"]
    assert (law.x[0], law.y[0], law.x[-1]) == (0.0, 0.0, 100.0)
    assert law.y[-1] == 0.02 * 100.0**1.5


def test_a_very_long_curve_keeps_its_ends():
    kept = kept_steps(50_000, MOST_STEPS)
    assert (kept[0], kept[-1], kept.size) == (0, 49_999, MOST_STEPS)
    assert kept_steps(3, MOST_STEPS).tolist() == [0, 1, 2]
