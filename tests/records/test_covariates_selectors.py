"""What was so about a part when it was fitted."""

from datetime import UTC, datetime

import pytest

from records.selectors.covariates import life_facts
from records.selectors.lives import LifeFilter, life_tables
from tests.factories.plant import (
    FittedLifeFactory,
    PlacementFactory,
    PositionFactory,
    PumpFactory,
)

pytestmark = pytest.mark.django_db
NOW = datetime(2024, 1, 1, tzinfo=UTC)


def facts_of(user):
    tables = life_tables(user=user, choice=LifeFilter(), as_of=NOW)
    return life_facts(user=user, tables=tables, rows=tables.lives)


def test_each_life_stands_with_its_own_position_and_pump(engineer):
    position = PositionFactory(
        area__name="Acid plant", speed_rpm=2950, hazards=["hot"], temperature_c=60
    )
    pump = PumpFactory(site=position.site, shaft_overhang_mm=200, design="overhung")
    PlacementFactory(position=position, pump=pump)
    FittedLifeFactory(pump=pump, position=position, faces="soft", temperature_c=80)
    FittedLifeFactory(faces="hard")
    first, second = facts_of(engineer).sort_values("life_id").to_dict("records")
    assert (first["faces"], second["faces"]) == ("soft", "hard")
    assert (first["area"], first["speed_rpm"]) == ("Acid plant", 2950)
    assert (first["temperature_c"], first["temperature_of_position"]) == (80, 60)
    assert (first["shaft_overhang_mm"], first["hazards"]) == (200, ["hot"])
    assert second["area"] != second["area"]


def test_the_rows_keep_their_order_and_number(engineer):
    for _ in range(3):
        FittedLifeFactory()
    tables = life_tables(user=engineer, choice=LifeFilter(), as_of=NOW)
    rows = tables.lives.iloc[::-1]
    found = life_facts(user=engineer, tables=tables, rows=rows)
    assert found["life_id"].tolist() == rows["life_id"].tolist()


def test_two_queries_whatever_the_number_of_lives(engineer, django_assert_num_queries):
    for _ in range(4):
        FittedLifeFactory()
    tables = life_tables(user=engineer, choice=LifeFilter(), as_of=NOW)
    with django_assert_num_queries(2):
        life_facts(user=engineer, tables=tables, rows=tables.lives)
