"""A seeded small part of the tables of the flagging rule."""

from functools import partial

import numpy as np
import pytest

from tests.calibration.flags import (
    FLEET,
    Fleet,
    flags_of,
    flags_on_page,
    mixed,
    nothing_wrong,
    planted,
    tally,
    truly_bad,
)

LEVEL = 0.10


@pytest.mark.parametrize("more", [{}, {"classes": 8}, {"classes": 8, "uneven": True}])
def test_where_nothing_is_wrong_hardly_a_fleet_has_a_flag(more):
    found = tally(partial(nothing_wrong, rate=0.6, years=3, **more), 300, 3)
    # At 10 % more than 42 of 300 come up in 1 of 100 draws; 3 to 6 % are usual.
    assert 0 < found.any_flag <= LEVEL


@pytest.mark.parametrize("classes", [1, 8])
def test_in_mixed_fleets_the_share_of_false_flags_is_held(classes):
    found = tally(partial(mixed, rate=0.3, years=3, classes=classes), 60, 4)
    assert found.flags > 0
    assert found.false_share <= LEVEL


@pytest.mark.parametrize(
    ("bad", "times_worse", "years", "least"),
    [(1, 10, 3, 0.9), (5, 5, 3, 0.45), (5, 10, 1, 0.5)],
)
def test_planted_pumps_are_found(bad, times_worse, years, least):
    draw = partial(planted, rate=0.6, years=years, times_worse=times_worse, bad=bad)
    found = tally(draw, 40, 5)
    assert found.power >= least
    assert found.false_share <= LEVEL


def test_several_bad_pumps_do_not_hide_each_other():
    one, five = (
        tally(partial(planted, rate=1.2, years=1, times_worse=10, bad=bad), 25, 6)
        for bad in (1, 5)
    )
    assert five.power >= one.power - 0.15


def test_the_short_way_of_the_simulation_is_that_of_the_page():
    flagged = 0
    for place in range(4):
        fleet = mixed(np.random.default_rng(place), 0.9, 3, shape=1.0, classes=8)
        flags = flags_of(fleet)
        flagged += flags.sum()
        assert flags.tolist() == flags_on_page(fleet).tolist()
    assert flagged > 0


def test_bad_means_twice_the_mean_rate_of_the_peers_without_the_unit():
    rates = np.ones(FLEET)
    rates[:2] = (1.99, 2.02)
    quiet = np.zeros(FLEET, dtype=int)
    fleet = Fleet(quiet, np.ones(FLEET), rates, quiet, quiet.astype(bool))
    assert truly_bad(fleet).nonzero()[0].tolist() == [1]
