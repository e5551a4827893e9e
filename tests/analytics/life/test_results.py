import dataclasses

import numpy as np
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


def test_numbers_of_numpy_are_numbers():
    interval = Interval(1.0, 3.0, 0.9, "any")
    for kind in (np.int64, np.int32, np.float32, np.float64):
        assert kind(2) in interval
        assert kind(4) not in interval
