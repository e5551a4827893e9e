"""Which positions nothing would take over from."""

from datetime import UTC, datetime, timedelta

import pytest
from django.utils import timezone

from analytics.exposure import window_of_months
from analytics.reports.fleet.spares import without_ready_spare
from analytics.scope import Scope
from plant.models import SpareGroup
from records.choices import RepairState
from tests.factories.plant import (
    AreaFactory,
    PlacementFactory,
    PositionFactory,
    SiteFactory,
)
from tests.factories.records import RepairFactory

pytestmark = pytest.mark.django_db


def found(user):
    scope = Scope(user, window_of_months(timezone.localdate(), 12))
    return [position.tag for position in without_ready_spare(scope)]


def group_of(size, *, must_run):
    """Positions A, B, C ... of one spare group, a pump at each."""
    site = SiteFactory()
    group = SpareGroup.objects.create(site=site, name="G", needed_running=must_run)
    area = AreaFactory(site=site)
    positions = [
        PositionFactory(area=area, tag=tag, spare_group=group) for tag in "ABC"[:size]
    ]
    for position in positions:
        PlacementFactory(position=position)
    return positions


def stopped(position, **more):
    day = datetime.now(UTC) - timedelta(days=2)
    return RepairFactory(position=position, reported_at=day, stopped_at=day, **more)


def test_a_pair_that_stands_ready_has_its_spare(engineer):
    group_of(2, must_run=1)
    assert found(engineer) == []


def test_the_partner_of_a_stopped_pump_has_no_ready_spare(engineer):
    _first, second = group_of(2, must_run=1)
    stopped(second)
    assert found(engineer) == ["A"]


def test_a_pump_handed_back_or_a_void_repair_is_ready(engineer):
    first, second = group_of(2, must_run=1)
    stopped(first, returned_at=datetime.now(UTC) - timedelta(days=1))
    stopped(
        second,
        state=RepairState.VOID,
        void_reason="entered twice",
        signed_at=datetime.now(UTC),
    )
    assert found(engineer) == []


def test_both_stopped_are_both_without(engineer):
    for position in group_of(2, must_run=1):
        stopped(position)
    assert found(engineer) == ["A", "B"]


def test_two_of_three_must_run_and_one_stop_uses_up_the_spare(engineer):
    *_others, third = group_of(3, must_run=2)
    assert found(engineer) == []
    stopped(third)
    assert found(engineer) == ["A", "B"]


def test_an_empty_position_is_no_spare(engineer):
    _first, second = group_of(2, must_run=1)
    second.placements.update(removed_at=datetime.now(UTC))
    assert found(engineer) == ["A"]


def test_a_pump_without_a_spare_is_listed_only_while_it_is_stopped(engineer):
    alone = PlacementFactory(position__tag="ALONE").position
    assert found(engineer) == []
    stopped(alone)
    assert found(engineer) == ["ALONE"]
