"""Facts of repairs, own time and starts, as the records hold them."""

from datetime import UTC, date, datetime, timedelta

import numpy as np
import pandas as pd
import pytest

from analytics.exposure import Window
from analytics.reports.bad_actors.ages import own_trends
from analytics.reports.bad_actors.facts import repair_facts
from analytics.reports.bad_actors.own_trend import Course
from analytics.reports.bad_actors.recorded import (
    events_in_own_time,
    failures_on_starting,
)
from analytics.reports.bad_actors.travellers import travellers
from analytics.reports.bad_actors.units import bad_actor_service
from analytics.scope import Scope
from records.choices import Item, Mechanism, OperatingState
from records.models import TeardownFinding
from tests.factories.plant import (
    AreaFactory,
    PlacementFactory,
    PositionFactory,
    PumpFactory,
    SiteFactory,
)
from tests.factories.records import RepairFactory

pytestmark = pytest.mark.django_db
YEAR = Window(date(2024, 1, 1), date(2024, 12, 31))


def on(month, day=1):
    return datetime(2024, month, day, 12, tzinfo=UTC)


@pytest.fixture
def area():
    return AreaFactory(site=SiteFactory(rework_window_days=30))


def service(user):
    return bad_actor_service(Scope(user, YEAR))


def test_facts_are_in_words_and_rework_is_marked(engineer, area):
    position = PositionFactory(area=area)
    seal = RepairFactory(
        position=position,
        reported_at=on(3),
        item=Item.SEAL,
        mechanism=Mechanism.M2_7,
        operating_state=OperatingState.STARTING,
    )
    TeardownFinding.objects.create(repair=seal, pattern="heat checks")
    RepairFactory(position=position, reported_at=on(3, 20), mechanism=Mechanism.M6_4)
    RepairFactory(position=position, reported_at=datetime(2023, 6, 1, tzinfo=UTC))
    facts = repair_facts(service(engineer), "position", [position.pk])[position.pk]
    assert [fact.is_separate for fact in facts] == [True, False]
    first, second = facts
    assert (first.item, first.mechanism) == ("Mechanical seal", "Overheating")
    assert first.patterns == ("Heat checks",)
    assert (first.on_starting, second.on_starting) == (True, False)
    assert second.mechanism == second.item == ""


def test_facts_take_as_many_queries_for_many_units(
    engineer, area, django_assert_num_queries
):
    positions = PositionFactory.create_batch(4, area=area)
    for position in positions:
        RepairFactory(position=position, reported_at=on(3), item=Item.SEAL)
    loaded = service(engineer)
    for keys in ([positions[0].pk], [position.pk for position in positions]):
        with django_assert_num_queries(2):
            assert len(repair_facts(loaded, "position", keys)) == len(keys)


def test_a_machine_that_fails_on_two_tags_carries_its_trouble_along(engineer, area):
    first, second = PositionFactory.create_batch(2, area=area)
    machine = PumpFactory(site=area.site)
    PlacementFactory(pump=machine, position=first, removed_at=on(6))
    PlacementFactory(pump=machine, position=second, placed_at=on(7))
    for position, month in ((first, 2), (first, 4), (second, 9)):
        RepairFactory(position=position, pump=machine, reported_at=on(month))
    loaded = service(engineer)
    facts = repair_facts(loaded, "pump", [machine.pk])
    (found,) = travellers(facts)
    assert found.by_position == ((first.pk, 2), (second.pk, 1))
    assert (found.tags, found.events) == (2, 3)
    # Its own time leaves out the month in the store.
    own = events_in_own_time(loaded, "pump", facts)[machine.pk]
    assert own.end == 366 - 30
    september = (date(2024, 9, 1) - date(2024, 1, 1)).days - 30
    assert own.ages[-1] == september + 0.5


def test_repairs_that_come_faster_show_as_such(engineer, area):
    position = PositionFactory(area=area)
    for days in (150, 210, 250, 285, 320, 352):
        moment = on(1) + timedelta(days=days)
        RepairFactory(position=position, reported_at=moment)
    loaded = service(engineer)
    facts = repair_facts(loaded, "position", [position.pk])
    (trend,) = own_trends(events_in_own_time(loaded, "position", facts), 0.90).values()
    assert (trend.course, trend.events) == (Course.FASTER, 6)


def test_starts_of_standby_units_are_counted_apart_from_the_rest(engineer, area):
    standby, running = PositionFactory.create_batch(2, area=area)
    for position, month, state in (
        (standby, 2, OperatingState.STARTING),
        (standby, 5, OperatingState.RUNNING),
        (standby, 8, ""),
        (running, 3, OperatingState.STARTING),
    ):
        RepairFactory(position=position, reported_at=on(month), operating_state=state)
    units = pd.DataFrame(
        {"key": [standby.pk, running.pk], "duty": np.array(["standby", "duty"])}
    )
    counts = failures_on_starting(service(engineer), units, "position")
    assert counts.standby == {standby.pk: (1, 2)}
    assert counts.rest == (1, 1)
