import numpy as np
import pytest

from analytics.life.arrays import (
    as_numbers,
    checked_confidence,
    event_count,
    paired,
    positive_number,
)
from analytics.life.errors import InvalidSample


@pytest.mark.parametrize("value", [0.0, -1.0, np.nan, np.inf, "x", None])
def test_positive_number_refuses(value):
    with pytest.raises(InvalidSample, match="The exposure"):
        positive_number(value, "exposure")


@pytest.mark.parametrize("value", [0.0, 1.0, 1.5, -0.1, np.nan])
def test_confidence_lies_strictly_between_zero_and_one(value):
    with pytest.raises(InvalidSample, match="confidence"):
        checked_confidence(value)


@pytest.mark.parametrize("value", [-1, 1.5, np.nan, "x"])
def test_event_count_refuses(value):
    with pytest.raises(InvalidSample, match="The number"):
        event_count(value, "number")


def test_event_count_accepts_whole_floats():
    assert event_count(np.float64(3.0), "number") == 3


def test_paired_refuses_unequal_and_empty_lists():
    with pytest.raises(InvalidSample, match="There are 1 counts but 2 times"):
        paired([1], [1, 2], "counts", "times")
    with pytest.raises(InvalidSample, match="There are no counts"):
        paired([], [], "counts", "times")


def test_numbers_are_copied():
    given = np.array([1.0])
    as_numbers(given, "ages")[0] = 2.0
    assert given[0] == 1.0
