"""The tables of lives hold what the user may see, with what belongs to it."""

from datetime import UTC, date, datetime, timedelta

from plant.choices import Component, Location
from records.selectors.lives import (
    LifeFilter,
    last_readings,
    life_choices,
    life_tables,
    pumps_without_life,
)
from tests.factories.plant import (
    FittedLifeFactory,
    PlacementFactory,
    PumpFactory,
    UserFactory,
)
from tests.factories.records import HourReadingFactory

NOW = datetime(2024, 1, 1, tzinfo=UTC)
SEALS = LifeFilter(components=(Component.SEAL,))


def test_an_empty_log_gives_empty_tables(engineer):
    tables = life_tables(user=engineer, choice=LifeFilter(), as_of=NOW)
    assert len(tables.lives) == 0
    assert {"records_from", "retired_at", "tag", "part"} <= set(tables.lives.columns)


def test_only_lives_of_sites_that_the_user_sees(db):
    mine, _other = FittedLifeFactory(), FittedLifeFactory()
    user = UserFactory(sees_all_sites=False)
    user.sites.add(mine.pump.site)
    tables = life_tables(user=user, choice=LifeFilter(), as_of=NOW)
    assert list(tables.lives["life_id"]) == [mine.pk]
    assert len(life_choices(user)) == 1


def test_a_bearing_is_named_by_its_designation(engineer):
    FittedLifeFactory(
        component=Component.THRUST,
        location=Location.THRUST,
        designation="7309",
        part_number="stock 12",
    )
    tables = life_tables(user=engineer, choice=LifeFilter(part="7309"), as_of=NOW)
    assert list(tables.lives["part"]) == ["7309"]


def test_the_nearest_beginning_of_records_holds(engineer):
    pump = PumpFactory(
        records_from=date(2022, 5, 1), site__records_from=date(2019, 1, 1)
    )
    FittedLifeFactory(pump=pump)
    lives = life_tables(user=engineer, choice=LifeFilter(), as_of=NOW).lives
    assert lives["records_from"][0] == datetime(2022, 5, 1, tzinfo=UTC)


def test_pumps_in_service_without_an_open_seal_are_found(engineer):
    bare, closed, sealed, stored = (PlacementFactory() for _ in range(4))
    fitted = datetime(2021, 1, 1, tzinfo=UTC)
    FittedLifeFactory(
        pump=closed.pump, fitted_at=fitted, removed_at=fitted + timedelta(days=9)
    )
    FittedLifeFactory(pump=sealed.pump, fitted_at=fitted)
    type(stored).objects.filter(pk=stored.pk).update(removed_at=fitted)
    FittedLifeFactory(
        pump=bare.pump, component=Component.THRUST, location=Location.THRUST
    )
    found = pumps_without_life(user=engineer, choice=SEALS, as_of=NOW)
    assert {row["pump_id"] for row in found} == {bare.pump_id, closed.pump_id}


def test_pumps_without_life_are_as_of_their_day(engineer):
    placement = PlacementFactory()
    FittedLifeFactory(pump=placement.pump, fitted_at=NOW - timedelta(days=10))
    before = NOW - timedelta(days=20)
    found = pumps_without_life(user=engineer, choice=SEALS, as_of=before)
    assert [row["pump_id"] for row in found] == [placement.pump_id]
    assert pumps_without_life(user=engineer, choice=SEALS, as_of=NOW) == []


def test_the_last_reading_of_each_position_is_known(engineer):
    placement = PlacementFactory()
    for day in (1, 20):
        HourReadingFactory(
            position=placement.position, read_at=datetime(2023, 5, day, tzinfo=UTC)
        )
    FittedLifeFactory(pump=placement.pump, position=placement.position)
    positions = life_tables(user=engineer, choice=SEALS, as_of=NOW).positions
    assert last_readings(positions) == {
        placement.position_id: datetime(2023, 5, 20, tzinfo=UTC)
    }
