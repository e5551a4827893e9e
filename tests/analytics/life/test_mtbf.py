import numpy as np
import pytest
from scipy import stats

from analytics.life.errors import InvalidSample
from analytics.life.mtbf import mtbf_interval


def test_without_events_there_is_a_lower_limit_only():
    result = mtbf_interval(1000.0, 0)
    assert result.estimate is None
    assert result.interval.low == pytest.approx(1000.0 / -np.log(0.05))
    assert result.interval.high == np.inf


@pytest.mark.parametrize("events", [1, 4, 30])
def test_limits_are_where_the_count_becomes_unlikely(events):
    """The limits are the rates at which the count sits in a 5 % tail."""
    interval = mtbf_interval(500.0, events).interval
    assert stats.poisson.sf(events - 1, 500.0 / interval.high) == pytest.approx(0.05)
    assert stats.poisson.cdf(events, 500.0 / interval.low) == pytest.approx(0.05)


def test_lower_limit_alone_equals_the_two_sided_at_half_the_error():
    lower = mtbf_interval(500.0, 3, confidence=0.95, sided="lower").interval
    assert lower.low == pytest.approx(mtbf_interval(500.0, 3, 0.90).interval.low)
    assert lower.high == np.inf
    assert "lower limit only" in lower.method


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ({"exposure": 0.0}, "exposure must be above zero"),
        ({"exposure": np.nan}, "exposure must be above zero"),
        ({"events": -1}, "number of events must be a whole number"),
        ({"events": 1.5}, "number of events must be a whole number"),
        ({"confidence": 1.0}, "confidence must lie between 0 and 1"),
        ({"truncation": "none"}, "No truncation is called 'none'"),
        ({"sided": "upper"}, "No kind of limit is called 'upper'"),
        ({"events": 0, "truncation": "failure"}, "has at least one"),
    ],
)
def test_refusals(arguments, message):
    with pytest.raises(InvalidSample, match=message):
        mtbf_interval(**({"exposure": 100.0, "events": 2} | arguments))
