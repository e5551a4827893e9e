"""Two people at once, on PostgreSQL: the second gets a sentence, never a fault."""

from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, date, datetime
from threading import Barrier

import pytest
from django.core.exceptions import ValidationError
from django.db import connection

from plant.models import DutyPeriod, Placement
from plant.services.placements import pump_place
from plant.services.positions import duty_period_set
from plant.services.pumps import pump_retire
from tests.factories.plant import PlacementFactory, PositionFactory, PumpFactory

pytestmark = [pytest.mark.postgresql, pytest.mark.django_db(transaction=True)]
MOVED_AT = datetime(2024, 3, 1, tzinfo=UTC)


def at_once(*actions):
    """Run actions at the same moment; each answers with its sentence or None."""
    ready = Barrier(len(actions))

    def run(action):
        try:
            ready.wait(timeout=10)
            action()
        except ValidationError as error:
            return error.messages[0]
        finally:
            connection.close()
        return None

    with ThreadPoolExecutor(len(actions)) as pool:
        return list(pool.map(run, actions))


def test_a_pump_is_not_retired_while_it_is_placed(engineer):
    position = PositionFactory()
    pump = PumpFactory(site=position.site)
    answers = at_once(
        lambda: pump_place(
            by=engineer, pump=pump, position=position, placed_at=MOVED_AT
        ),
        lambda: pump_retire(by=engineer, pump=pump, retired_on=date(2024, 3, 1)),
    )
    assert answers.count(None) == 1, answers
    pump.refresh_from_db()
    assert (pump.retired_on is None) == Placement.objects.exists()


def test_a_pump_moved_to_two_positions_stands_at_one(planner):
    pump = PlacementFactory(position=PositionFactory()).pump
    area = pump.placements.get().position.area
    one, other = PositionFactory.create_batch(2, area=area)
    answers = at_once(
        *(
            lambda to=to: pump_place(
                by=planner, pump=pump, position=to, placed_at=MOVED_AT
            )
            for to in (one, other)
        )
    )
    assert answers.count(None) >= 1, answers
    assert pump.placements.filter(removed_at__isnull=True).count() == 1


def test_two_pumps_moved_to_one_position_leave_one_there(planner):
    position = PositionFactory()
    one, other = PumpFactory.create_batch(2, site=position.site)
    answers = at_once(
        *(
            lambda pump=pump: pump_place(
                by=planner, pump=pump, position=position, placed_at=MOVED_AT
            )
            for pump in (one, other)
        )
    )
    assert answers.count(None) >= 1, answers
    assert position.placements.filter(removed_at__isnull=True).count() == 1


def test_the_same_duty_day_stored_twice_is_one_entry(engineer):
    position = PositionFactory()
    answers = at_once(
        *(
            lambda plan=plan: duty_period_set(
                by=engineer,
                position=position,
                starts_on=date(2024, 1, 1),
                piping_plan=plan,
            )
            for plan in ("11", "53B")
        )
    )
    assert answers == [None, None]
    assert DutyPeriod.objects.count() == 1
