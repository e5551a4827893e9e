"""On Weibull paper a Weibull line is straight and every number stands where it is."""

import numpy as np
import pytest

from analytics.charts.weibull_plot import (
    MOST_POINTS,
    PlotSeries,
    thinned,
    weibull_plot,
)

NOTHING = np.empty(0)
AGES = np.array([500.0, 1_000.0, 2_000.0, 4_000.0])


def share_failed(ages, shape=2.0, scale=2_000.0):
    return 1 - np.exp(-((ages / scale) ** shape))


def series(**arrays):
    given = {
        "name": "Seals",
        "failure_ages": AGES,
        "failure_share": np.array([0.1, 0.3, 0.6, 0.9]),
        "suspension_ages": NOTHING,
        "line_ages": AGES,
        "line_share": share_failed(AGES),
        "low": share_failed(AGES) * 0.5,
        "high": np.minimum(share_failed(AGES) * 1.5, 1.0),
    }
    return PlotSeries(**{**given, **arrays})


def traces(figure):
    return {trace.name: trace for trace in figure.data}


def test_a_weibull_line_is_straight_with_the_shape_as_its_slope():
    line = traces(weibull_plot([series()], unit_words="hours"))["Fitted line"]
    slopes = np.diff(line.y) / np.diff(np.log(line.x))
    assert slopes == pytest.approx([2.0, 2.0, 2.0])


def test_points_stand_at_their_share():
    points = traces(weibull_plot([series()], unit_words="hours"))["Failures"]
    assert points.y[1] == pytest.approx(np.log(-np.log(0.7)))
    assert list(points.customdata) == ["10.0%", "30.0%", "60.0%", "90.0%"]


def test_ticks_are_percents_on_the_same_scale():
    axis = weibull_plot([series()], unit_words="hours").layout.yaxis
    fifty = axis.ticktext.index("50")
    assert axis.tickvals[fifty] == pytest.approx(np.log(np.log(2)))


def test_the_band_leaves_out_limits_that_paper_cannot_show():
    figure = weibull_plot([series(high=np.array([0.2, 0.5, 1.0, 1.0]))], unit_words="h")
    band = traces(figure)["Confidence band"]
    assert set(band.x) == {500.0, 1_000.0}


def test_suspensions_are_ticks_at_the_foot():
    figure = weibull_plot([series(suspension_ages=np.array([800.0]))], unit_words="h")
    ticks = traces(figure)["Suspensions"]
    assert list(ticks.x) == [800.0]
    assert ticks.y[0] == figure.layout.yaxis.range[0]


def test_a_sample_without_a_fit_shows_its_points_alone():
    bare = series(line_ages=NOTHING, line_share=NOTHING, low=NOTHING, high=NOTHING)
    assert set(traces(weibull_plot([bare], unit_words="h"))) == {"Failures"}


def test_a_second_population_differs_by_dash_and_marker():
    figure = weibull_plot([series(), series(name="Other")], unit_words="h")
    found = traces(figure)
    assert (
        found["Fitted line, Seals"].line.dash != found["Fitted line, Other"].line.dash
    )
    first, second = (found[f"Failures, {name}"].marker for name in ("Seals", "Other"))
    assert first.symbol != second.symbol


@pytest.mark.parametrize(("low", "high"), [(900, 1_000), (500, 9_000), (1, 90_000)])
def test_the_age_axis_has_a_handful_of_ticks(low, high):
    ages = np.array([low, high], dtype=float)
    share = np.array([0.2, 0.8])
    bare = series(
        failure_ages=ages,
        failure_share=share,
        line_ages=NOTHING,
        line_share=NOTHING,
        low=NOTHING,
        high=NOTHING,
    )
    ticks = weibull_plot([bare], unit_words="h").layout.xaxis.tickvals
    assert 1 <= len(ticks) <= 12


def test_thousands_of_points_are_thinned_with_both_ends_kept():
    places = thinned(10_000)
    assert places.size <= MOST_POINTS
    assert (places[0], places[-1]) == (0, 9_999)
    assert list(thinned(3)) == [0, 1, 2]
