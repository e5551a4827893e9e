"""What histories are chosen by."""

from datetime import UTC, date, datetime

import pytest

from plant.models import Position
from records.selectors.histories import (
    position_choices,
    reading_spans,
    running_shares,
    with_seal_plan,
)
from tests.factories.plant import (
    DutyPeriodFactory,
    FittedLifeFactory,
    PlacementFactory,
    PositionFactory,
    UserFactory,
)
from tests.factories.records import HourReadingFactory

pytestmark = pytest.mark.django_db
MOMENT = datetime(2023, 5, 1, 12, tzinfo=UTC)


def tags_with(plan):
    rows = with_seal_plan(Position.objects.all(), plan)
    return sorted(rows.values_list("tag", flat=True))


def test_the_seal_that_is_in_says_the_plan():
    placement = PlacementFactory(position__tag="P-1")
    DutyPeriodFactory(position=placement.position, piping_plan="11")
    FittedLifeFactory(pump=placement.pump, piping_plan="53A")
    assert tags_with("53A") == ["P-1"]
    assert tags_with("11") == []


def test_without_a_seal_that_names_a_plan_the_latest_dated_plan_holds():
    placement = PlacementFactory(position__tag="P-1")
    FittedLifeFactory(pump=placement.pump, piping_plan="")
    DutyPeriodFactory(position=placement.position, piping_plan="11")
    DutyPeriodFactory(
        position=placement.position, piping_plan="21", starts_on=date(2022, 1, 1)
    )
    assert tags_with("21") == ["P-1"]
    assert tags_with("11") == []


def test_a_seal_taken_out_or_in_a_pump_moved_away_says_nothing():
    placement = PlacementFactory(position__tag="P-1")
    FittedLifeFactory(pump=placement.pump, piping_plan="11", removed_at=MOMENT)
    moved = PlacementFactory(position__tag="P-2", removed_at=MOMENT)
    FittedLifeFactory(pump=moved.pump, piping_plan="11")
    assert tags_with("11") == []


def test_choices_are_those_of_the_sites_the_user_sees():
    here = PositionFactory(liquid="acid")
    DutyPeriodFactory(position=here, piping_plan="21")
    PlacementFactory(position=PositionFactory(liquid="caustic"))
    FittedLifeFactory(piping_plan="54")
    user = UserFactory(sees_all_sites=False)
    user.sites.add(here.site)
    found = position_choices(user)
    assert (found.liquids, found.plans) == (("acid",), ("21",))
    everything = position_choices(UserFactory())
    assert everything.liquids == ("acid", "caustic")
    assert everything.plans == ("21", "54")


def test_the_running_share_is_the_one_that_holds_on_the_day():
    position = PositionFactory()
    DutyPeriodFactory(position=position, running_share=0.5)
    DutyPeriodFactory(position=position, running_share=0.1, starts_on=date(2022, 1, 1))
    rows = Position.objects.all()
    assert running_shares(rows, date(2021, 6, 1)) == {position.pk: 0.5}
    assert running_shares(rows, date(2022, 6, 1)) == {position.pk: 0.1}


def test_readings_span_from_the_first_to_the_last_before_the_end():
    position = PositionFactory()
    moments = [datetime(2023, month, 1, tzinfo=UTC) for month in (1, 4, 9)]
    for hours, moment in enumerate(moments):
        HourReadingFactory(position=position, read_at=moment, meter_hours=hours)
    rows = Position.objects.all()
    assert reading_spans(rows, until=MOMENT) == {position.pk: tuple(moments[:2])}
