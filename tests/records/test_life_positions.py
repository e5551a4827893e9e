"""Where positions are many they are asked for by site; the lives stay the same."""

from datetime import UTC, datetime

import pandas as pd
import pytest

from records.selectors import lives as selector
from records.selectors.lives import LifeFilter, life_tables
from tests.factories.plant import FittedLifeFactory, PlacementFactory, PositionFactory

NOW = datetime(2024, 1, 1, tzinfo=UTC)


@pytest.mark.parametrize("placed", [True, False])
def test_positions_named_or_by_site_give_the_same_lives(engineer, monkeypatch, placed):
    life = FittedLifeFactory()
    if placed:
        PlacementFactory(pump=life.pump, position__area__site=life.pump.site)
    stood = PlacementFactory.create_batch(2) if placed else []
    for placement in stood:
        FittedLifeFactory(pump=placement.pump)
    beside = PositionFactory()
    named = life_tables(user=engineer, choice=LifeFilter(), as_of=NOW)
    assert beside not in named.positions
    if not placed:
        assert not named.positions.exists()
        return
    monkeypatch.setattr(selector, "MOST_NAMED", 0)
    by_site = life_tables(user=engineer, choice=LifeFilter(), as_of=NOW)
    assert set(named.positions) <= set(by_site.positions)
    pd.testing.assert_frame_equal(named.lives, by_site.lives)
    pd.testing.assert_frame_equal(named.placements, by_site.placements)
