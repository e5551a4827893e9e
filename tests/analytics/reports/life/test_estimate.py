"""Samples become fits, points on the plot, or refusals with what is left."""

from datetime import UTC, datetime

import numpy as np
import pandas as pd
import pytest

from analytics.life.data import LifeData
from analytics.life.errors import NoSpread, TooFewFailures
from analytics.reports.life.estimate import life_estimate, plot_points, populations
from analytics.reports.life.question import LifeQuestion
from analytics.samples import Sample, SampleRule, Status
from records.selectors.lives import LifeFilter

RULE = SampleRule(as_of=datetime(2024, 1, 1, tzinfo=UTC))
QUESTION = LifeQuestion("seal", LifeFilter(components=("seal",)), RULE)
PUMP_A = [14400, 19800, 21300, 23600, 24300, 28100, 29600, 29600, 34200, 38000]


def sample_of(ages, statuses=None, parts=None):
    size = len(ages)
    rows = pd.DataFrame(
        {
            "age": np.array(ages, dtype=float),
            "entry_age": np.zeros(size),
            "status": statuses or [Status.FAILED] * size,
            "reason": "",
            "part": parts or ["LIFE-A"] * size,
            "piping_plan": "11",
            "position_id": pd.array(range(1, size + 1), dtype="Int64"),
            "pump_id": range(1, size + 1),
        }
    )
    return Sample(rows, RULE, {})


def test_a_sound_sample_gives_a_fit():
    estimate = life_estimate(sample_of(PUMP_A), QUESTION)
    assert estimate.fit.shape == pytest.approx(4.4281, abs=5e-5)
    assert estimate.error is None
    assert estimate.assumed == ()


@pytest.mark.parametrize(
    ("ages", "error"), [([900.0, 1_200.0], TooFewFailures), ([700.0] * 4, NoSpread)]
)
def test_a_refusal_comes_with_fits_at_assumed_shapes(ages, error):
    estimate = life_estimate(sample_of(ages), QUESTION)
    assert isinstance(estimate.error, error)
    assert [fit.shape for fit in estimate.assumed] == [0.8, 1.4, 4.0]


def test_nothing_to_fit_is_no_error():
    empty = sample_of([100.0], [Status.LEFT_OUT])
    estimate = life_estimate(empty, QUESTION)
    assert (estimate.data, estimate.fit, estimate.error) == (None, None, None)


def test_points_stand_at_median_ranks_when_all_were_watched_from_new():
    points = plot_points(LifeData([100, 200, 300], [True, True, True]))
    assert points.share_failed == pytest.approx([0.7 / 3.4, 1.7 / 3.4, 2.7 / 3.4])
    assert points.method == "median ranks (Benard)"


def test_points_stand_half_way_up_the_steps_when_lives_entered_late():
    """Two at risk at 200 after one of two failed at 100: steps 0, 1/2, 3/4, 1."""
    data = LifeData([100, 200, 300], [True] * 3, entry_ages=[0, 0, 150])
    points = plot_points(data)
    assert points.share_failed == pytest.approx([1 / 4, 5 / 8, 7 / 8])
    assert "Kaplan-Meier" in points.method


def test_without_failures_there_are_no_points():
    assert plot_points(LifeData([100, 200], [False, False])) is None


def test_populations_are_largest_first_and_fitted_where_failures_are_not_few():
    sample = sample_of(
        [*PUMP_A, 800.0, 900.0, 1_500.0],
        parts=["LIFE-A"] * 10 + ["LIFE-C"] * 3,
    )
    large, small = populations(sample, 0.90)
    assert (large.part, large.lives, small.lives) == ("LIFE-A", 10, 3)
    assert large.fit.scale == pytest.approx(28_860.2, abs=0.05)
    assert small.fit is None
