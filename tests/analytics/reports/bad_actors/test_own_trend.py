import numpy as np
import pytest

from analytics.life.errors import InvalidSample
from analytics.reports.bad_actors.own_trend import Course, own_trend

FASTER = (600, 800, 900, 980, 1030, 1060, 1080, 1090)
SLOWER = (5, 12, 30, 60, 110, 180, 300, 500)
STEADY = (90, 240, 350, 500, 620, 760, 880, 1010)


@pytest.mark.parametrize(
    ("ages", "course"),
    [
        (FASTER, Course.FASTER),
        (SLOWER, Course.SLOWER),
        (STEADY, Course.STEADY),
        (FASTER[-3:], Course.TOO_FEW),
        ((), Course.TOO_FEW),
    ],
)
def test_the_course_of_own_events(ages, course):
    assert own_trend(ages, 1096.0).course is course


def test_a_course_comes_with_the_shape_of_the_power_law():
    found = own_trend(FASTER, 1096.0)
    expected = len(FASTER) / np.log(1096.0 / np.array(FASTER)).sum()
    assert found.shape == pytest.approx(expected)
    assert found.interval.low > 1


def test_a_steady_rate_is_seldom_taken_for_a_trend():
    rng = np.random.default_rng(6)
    told = [
        own_trend(rng.uniform(0, 1000, 8), 1000.0).course is not Course.STEADY
        for _ in range(200)
    ]
    # At 10 % more than 32 of 200 come up in 1 of 200 draws.
    assert sum(told) <= 32


def test_events_after_the_watch_are_refused():
    with pytest.raises(InvalidSample):
        own_trend([1, 2, 3, 2000], 1000.0)
