"""A seeded small part of the table of verdicts on actions."""

import numpy as np
import pytest

from analytics.judging.verdict import Finding
from tests.calibration.verdicts import FLEET, Design, drawn, tally

SPREAD = 2.0**-0.5


@pytest.mark.parametrize("after", [1.0, 2.0])
def test_nothing_done_to_the_ten_worst_of_equal_pumps_hardly_ever_works(after):
    found = tally(80, 11, Design(after=after))
    # At 5 % more than 8 of 80 come up in 1 of 50 draws; 2 to 3 % are usual.
    assert found.findings.get(Finding.WORKS, 0.0) <= 8 / 80
    assert found.covered[0] >= 0.85


@pytest.mark.parametrize("treated", ["worst", "flagged"])
@pytest.mark.parametrize("spread", [0.3, 0.6])
def test_nothing_done_to_true_bad_actors_neither_works_nor_is_too_little_expected(
    treated, spread
):
    found = tally(50, 14, Design(spread=spread, bad=8, treated=treated))
    assert found.acted >= 49
    # At 5 % more than 6 of 50 come up in 1 of 80 draws; 0.5 to 3 % are usual.
    assert found.findings.get(Finding.WORKS, 0.0) <= 6 / 50
    assert found.expected_share == pytest.approx(1.0, abs=0.08)
    assert found.covered[0] >= 0.80


def test_a_true_halving_is_often_seen_and_seldom_denied():
    found = tally(40, 12, Design(rate=1.2, spread=SPREAD, effect=0.5))
    assert found.findings[Finding.WORKS] >= 0.6
    assert found.findings.get(Finding.DOES_NOT, 0.0) <= 0.1


def test_a_true_halving_of_the_flagged_is_seen_in_about_half_of_the_fleets():
    found = tally(40, 15, Design(spread=0.3, bad=8, treated="flagged", effect=0.5))
    # One gamma pool, which drew bad actors to their peers, saw 15 %.
    assert found.findings[Finding.WORKS] >= 0.4


def test_a_quiet_year_of_the_whole_works_is_no_success():
    found = tally(40, 13, Design(rate=1.2, spread=SPREAD, works=0.5))
    assert found.findings.get(Finding.WORKS, 0.0) <= 0.1


def test_planted_units_lie_anywhere_and_are_as_much_worse_as_asked():
    fleet = drawn(
        Design(bad=8, times_worse=(5.0, 5.0), treated="planted"),
        np.random.default_rng(1),
    )
    assert fleet.rates[fleet.treated] == pytest.approx([3.0] * 8)
    assert fleet.rates[~fleet.treated] == pytest.approx([0.6] * (FLEET - 8))
    assert fleet.unchanged == pytest.approx(24.0)
    assert fleet.treated.nonzero()[0].max() > 8
