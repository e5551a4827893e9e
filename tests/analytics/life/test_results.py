import dataclasses

import pytest

from analytics.life.results import Estimate, Interval


def test_interval_contains_its_ends():
    interval = Interval(1.0, 2.0, 0.90, "exact")
    assert 1.0 in interval
    assert 2 in interval
    assert 2.1 not in interval
    assert "1.5" not in interval


def test_results_cannot_be_changed():
    estimate = Estimate(1.0, Interval(0.5, 2.0, 0.90, "exact"))
    with pytest.raises(dataclasses.FrozenInstanceError):
        estimate.value = 3.0
