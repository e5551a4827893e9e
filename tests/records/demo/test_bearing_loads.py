"""The loads of the demo's bearings: plausible, and of no effect on what is drawn."""

from datetime import datetime

import numpy as np
import pytest

from plant.ratings import RollingElement, basic_rating_life_hours
from records.demo import parts
from records.demo.history import history_make


@pytest.fixture(scope="module")
def history():
    return history_make(datetime(2020, 11, 25))


def test_every_bearing_has_a_load_and_no_seal_has(history):
    for row in history.ledger.components:
        assert ("load_kn" in row) == (row["component"] != "seal")


def test_off_the_best_flow_a_bearing_carries_more(history):
    spot = history.spots[0]
    spot.flow = spot.bep_flow
    best = spot.bearing_load(parts.RADIAL)
    spot.flow = spot.bep_flow * 0.5
    assert best == parts.RADIAL.load_kn
    assert spot.bearing_load(parts.RADIAL) == pytest.approx(best * 1.3)


@pytest.mark.parametrize("part", [parts.RADIAL, parts.RADIAL_WET])
def test_radial_bearings_are_rated_for_what_the_standards_ask(history, part):
    lives = [
        basic_rating_life_hours(
            part.rating_kn, spot.bearing_load(part), spot.speed, RollingElement.BALL
        )
        for spot in history.spots
        if spot.radial is part
    ]
    assert np.median(lives) > 17_500


def test_the_ordinary_thrust_pair_is_loaded_until_it_tires(history):
    lives = [
        basic_rating_life_hours(
            parts.THRUST.rating_kn,
            spot.bearing_load(parts.THRUST),
            spot.speed,
            RollingElement.BALL,
        )
        for spot in history.spots
    ]
    assert 5_000 < np.median(lives) < 12_000
