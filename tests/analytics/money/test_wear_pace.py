"""Slope of readings with time, against a second implementation and by hand."""

import pytest
from scipy import stats

from analytics.money.errors import InvalidFigure, TooLittleData
from analytics.money.wear_pace import change_per_year

YEARS = [0.0, 0.4, 1.1, 1.5, 2.2]
SHARES = [0.62, 0.61, 0.575, 0.58, 0.54]


def test_slope_and_limits_are_those_of_a_second_implementation():
    line = stats.linregress(YEARS, SHARES)
    reach = stats.t.ppf(0.95, 3) * line.stderr
    pace = change_per_year(YEARS, SHARES)
    assert pace.value == pytest.approx(line.slope)
    limits = pace.interval
    assert limits.low == pytest.approx(line.slope - reach)
    assert limits.high == pytest.approx(line.slope + reach)


def test_slope_by_hand():
    """0, 1, 2 years and 10, 8, 7: (-1 x 10 + 1 x 7) / 2 a year."""
    assert change_per_year([0, 1, 2], [10, 8, 7]).value == pytest.approx(-1.5)


def test_points_on_a_line_have_no_width():
    pace = change_per_year([0, 1, 2, 3], [5, 4, 3, 2])
    assert pace.value == pytest.approx(-1)
    assert pace.interval.high - pace.interval.low == pytest.approx(0, abs=1e-12)


def test_too_few_or_all_at_once_are_refused():
    with pytest.raises(TooLittleData, match="2 values do not tell"):
        change_per_year([0, 1], [1, 2])
    with pytest.raises(TooLittleData, match="All values are of one moment"):
        change_per_year([1, 1, 1], [1, 2, 3])
    with pytest.raises(InvalidFigure, match="confidence"):
        change_per_year(YEARS, SHARES, confidence=1.0)
