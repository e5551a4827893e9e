"""A seeded small part of the table of verdicts on actions."""

import pytest

from analytics.judging.verdict import Finding
from tests.calibration.verdicts import findings


@pytest.mark.parametrize("after", [1, 2])
def test_nothing_done_to_the_ten_worst_of_equal_pumps_hardly_ever_works(after):
    found = findings(80, 11, rate=0.6, before=3, after=after)
    # At 5 % more than 8 of 80 come up in 1 of 50 draws; 3 to 4 % are usual.
    assert found.get(Finding.WORKS, 0.0) <= 8 / 80


def test_a_true_halving_is_often_seen_and_seldom_denied():
    found = findings(60, 12, rate=1.2, before=3, after=1, shape=2.0, effect=0.5)
    assert found[Finding.WORKS] >= 0.6
    assert found.get(Finding.DOES_NOT, 0.0) <= 0.1


def test_a_quiet_year_of_the_whole_works_is_no_success():
    found = findings(60, 13, rate=1.2, before=3, after=1, shape=2.0, works=0.5)
    assert found.get(Finding.WORKS, 0.0) <= 0.1
