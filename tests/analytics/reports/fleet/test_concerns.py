"""High vibration and overdue actions, by place."""

from datetime import UTC, datetime, timedelta

import pytest
from django.utils import timezone

from analytics.exposure import window_of_months
from analytics.reports.fleet.concerns import high_zones, overdue_actions
from analytics.scope import Scope
from records.reading_choices import RunningState
from tests.factories.actions import ActionFactory
from tests.factories.plant import AreaFactory, PlacementFactory, PositionFactory
from tests.factories.records import ReadingFactory

pytestmark = pytest.mark.django_db
NOW = datetime.now(UTC)


def scope_of(user, **place):
    return Scope(user, window_of_months(timezone.localdate(), 12), **place)


def test_only_the_latest_vibration_counts(engineer):
    calm, shaking = PositionFactory.create_batch(2)
    running = {"running_state": RunningState.RUNNING}
    for position, before, now in ((calm, 20.0, 1.0), (shaking, 1.0, 20.0)):
        old = NOW - timedelta(days=30)
        ReadingFactory(position=position, read_at=old, value=before, **running)
        ReadingFactory(position=position, read_at=NOW, value=now, **running)
    found = high_zones(scope_of(engineer))
    assert list(found) == [shaking.pk]
    assert found[shaking.pk].reading.value == 20.0


def test_an_action_is_overdue_after_its_day(engineer):
    today = timezone.localdate()
    late = ActionFactory(due_on=today - timedelta(days=1))
    ActionFactory(due_on=today, site=late.site)
    assert list(overdue_actions(scope_of(engineer))) == [late]


def test_an_area_has_the_actions_about_its_positions_and_the_pumps_there(engineer):
    area, other = AreaFactory(), AreaFactory()
    position = PositionFactory(area=area)
    placement = PlacementFactory(position=PositionFactory(area=area))
    of_tag = ActionFactory(site=area.site, positions=[position])
    of_pump = ActionFactory(site=area.site, pump=placement.pump)
    ActionFactory(site=area.site)
    ActionFactory(site=other.site, positions=[PositionFactory(area=other)])
    found = set(overdue_actions(scope_of(engineer, area=area)))
    assert found == {of_tag, of_pump}
