"""Services that enter and change positions: rights, refusals and history."""

from datetime import UTC, date, datetime

import pytest
from django.core.exceptions import PermissionDenied, ValidationError

from plant.models import DutyPeriod, Position
from plant.services.positions import (
    duty_period_set,
    position_change,
    position_register,
    position_take_out,
)
from tests.factories.plant import (
    AreaFactory,
    DutyPeriodFactory,
    PlacementFactory,
    PositionFactory,
    UserFactory,
)


def test_a_registered_position_belongs_to_the_site_of_its_area(engineer):
    area = AreaFactory()
    position = position_register(by=engineer, area=area, tag="P-1", liquid="Brine")
    assert position.site == area.site
    assert position.history.get().history_user == engineer


def test_a_planner_does_not_change_the_register(planner):
    with pytest.raises(PermissionDenied, match="role does not include"):
        position_register(by=planner, area=AreaFactory(), tag="P-1")
    with pytest.raises(PermissionDenied):
        duty_period_set(
            by=planner, position=PositionFactory(), starts_on=date(2024, 1, 1)
        )


def test_an_engineer_of_another_site_is_refused(db):
    position = PositionFactory()
    stranger = UserFactory(sees_all_sites=False, role="reliability engineer")
    with pytest.raises(PermissionDenied, match="You do not work at"):
        position_take_out(
            by=stranger, position=position, out_of_service_on=date(2024, 1, 1)
        )


def test_the_same_tag_twice_at_a_site_is_refused(engineer):
    area = AreaFactory()
    position_register(by=engineer, area=area, tag="P-1")
    with pytest.raises(ValidationError):
        position_register(by=engineer, area=area, tag="P-1")
    assert position_register(by=engineer, area=AreaFactory(), tag="P-1").tag == "P-1"


def test_a_change_keeps_what_stood_there_before(engineer):
    position = PositionFactory(service="Reflux")
    position_change(
        by=engineer, position=position, area=position.area, service="Reactor feed"
    )
    newest = position.history.first()
    assert newest.service == "Reactor feed"
    assert newest.history_user == engineer


def test_a_position_stays_at_its_site(engineer):
    with pytest.raises(ValidationError, match="stays at its site"):
        position_change(by=engineer, position=PositionFactory(), area=AreaFactory())


def test_positions_that_name_the_same_group_share_it(engineer):
    area = AreaFactory()
    first = position_register(
        by=engineer, area=area, tag="P-1A", spare_group_name="P-1", needed_running=1
    )
    second = position_register(
        by=engineer, area=area, tag="P-1B", spare_group_name="P-1", needed_running=2
    )
    first.refresh_from_db()
    assert first.spare_group == second.spare_group
    assert first.spare_group.needed_running == 2


def test_an_empty_group_name_takes_a_position_out_of_its_group(engineer):
    area = AreaFactory()
    position = position_register(
        by=engineer, area=area, tag="P-1A", spare_group_name="P-1"
    )
    changed = position_change(by=engineer, position=position, area=area)
    assert changed.spare_group is None


def test_out_of_service_before_in_service_is_refused(engineer):
    position = PositionFactory(in_service_on=date(2024, 5, 1))
    with pytest.raises(ValidationError):
        position_take_out(
            by=engineer, position=position, out_of_service_on=date(2024, 4, 30)
        )
    assert Position.objects.get().out_of_service_on is None


def test_duty_from_a_new_day_leaves_the_earlier_one(engineer):
    position = PositionFactory()
    DutyPeriodFactory(position=position, starts_on=date(2020, 1, 1), piping_plan="11")
    duty_period_set(
        by=engineer, position=position, starts_on=date(2024, 1, 1), piping_plan="53B"
    )
    plans = DutyPeriod.objects.filter(position=position).values_list("piping_plan")
    assert list(plans) == [("11",), ("53B",)]


def test_duty_from_the_same_day_is_a_change_with_history(engineer):
    period = DutyPeriodFactory(starts_on=date(2020, 1, 1), piping_plan="11")
    duty_period_set(
        by=engineer,
        position=period.position,
        starts_on=date(2020, 1, 1),
        piping_plan="21",
    )
    assert DutyPeriod.objects.get().piping_plan == "21"
    assert period.history.first().history_user == engineer


def test_a_running_share_above_one_is_refused(engineer):
    with pytest.raises(ValidationError):
        duty_period_set(
            by=engineer,
            position=PositionFactory(),
            starts_on=date(2024, 1, 1),
            running_share=1.2,
        )


def test_a_position_that_holds_a_pump_does_not_leave_service(engineer):
    position = PositionFactory(tag="P-1")
    placement = PlacementFactory(position=position)
    day = date(2024, 1, 1)
    with pytest.raises(ValidationError, match=f"{placement.pump} stands at P-1"):
        position_take_out(by=engineer, position=position, out_of_service_on=day)
    with pytest.raises(ValidationError, match=f"{placement.pump} stands at P-1"):
        position_change(
            by=engineer, position=position, area=position.area, out_of_service_on=day
        )
    position.refresh_from_db()
    assert position.out_of_service_on is None


def test_a_position_leaves_service_on_the_day_its_pump_left(engineer):
    position = PositionFactory(tag="P-1")
    PlacementFactory(position=position, removed_at=datetime(2024, 3, 1, 9, tzinfo=UTC))
    with pytest.raises(ValidationError, match="stood at P-1 until 2024-03-01 09:00"):
        position_take_out(
            by=engineer, position=position, out_of_service_on=date(2024, 2, 29)
        )
    left = date(2024, 3, 1)
    position_take_out(by=engineer, position=position, out_of_service_on=left)
    position.refresh_from_db()
    assert position.out_of_service_on == left
