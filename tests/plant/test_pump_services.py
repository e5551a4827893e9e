"""Services that enter, change and retire pumps: rights, refusals and history."""

from datetime import UTC, date, datetime, timedelta

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.utils import timezone

from plant.choices import Ending, WhyRemoved
from plant.models import FittedLife
from plant.selectors.lives import life_rows
from plant.services.pumps import pump_change, pump_register, pump_retire
from tests.factories.plant import (
    FittedLifeFactory,
    PlacementFactory,
    PumpFactory,
    SiteFactory,
    UserFactory,
)

NOW = datetime(2025, 1, 1, tzinfo=UTC)


def test_a_registered_pump_has_its_maker_of_the_entry(engineer):
    pump = pump_register(by=engineer, site=SiteFactory(), serial_number="S-1")
    assert pump.history.get().history_user == engineer


def test_a_planner_does_not_enter_change_or_retire_pumps(planner):
    pump = PumpFactory()
    with pytest.raises(PermissionDenied):
        pump_register(by=planner, site=pump.site, serial_number="S-1")
    with pytest.raises(PermissionDenied):
        pump_change(by=planner, pump=pump, size="80")
    with pytest.raises(PermissionDenied):
        pump_retire(by=planner, pump=pump, retired_on=date(2024, 1, 1))


def test_an_engineer_of_another_site_is_refused(db):
    stranger = UserFactory(sees_all_sites=False, role="reliability engineer")
    with pytest.raises(PermissionDenied, match="You do not work at"):
        pump_change(by=stranger, pump=PumpFactory(), size="80")


def test_a_serial_number_is_unique_with_its_maker(engineer):
    site = SiteFactory()
    pump_register(by=engineer, site=site, serial_number="S-1", maker="North foundry")
    pump_register(by=engineer, site=site, serial_number="S-1", maker="South foundry")
    with pytest.raises(ValidationError):
        pump_register(
            by=engineer, site=site, serial_number="S-1", maker="North foundry"
        )


def test_a_change_keeps_what_stood_there_before(engineer):
    pump = PumpFactory(size="50")
    pump_change(by=engineer, pump=pump, size="80")
    assert [row.size for row in pump.history.all()] == ["80", "50"]


def test_a_pump_at_a_position_is_not_retired(engineer):
    placement = PlacementFactory(position__tag="P-7")
    with pytest.raises(ValidationError, match="It stands at P-7. Move it to the store"):
        pump_retire(by=engineer, pump=placement.pump, retired_on=date(2024, 1, 1))


def test_retirement_before_the_last_move_is_refused(engineer):
    placement = PlacementFactory(removed_at=datetime(2024, 3, 5, tzinfo=UTC))
    with pytest.raises(ValidationError, match="left its last position on 2024-03-05"):
        pump_retire(by=engineer, pump=placement.pump, retired_on=date(2024, 3, 4))


def test_retirement_before_a_fitting_is_refused(engineer):
    life = FittedLifeFactory(fitted_at=datetime(2024, 3, 5, tzinfo=UTC))
    with pytest.raises(ValidationError, match="was fitted on 2024-03-05"):
        pump_retire(by=engineer, pump=life.pump, retired_on=date(2024, 3, 4))


def test_retirement_still_to_come_is_refused(engineer):
    later = timezone.now().date() + timedelta(days=3)
    with pytest.raises(ValidationError, match="still to come"):
        pump_retire(by=engineer, pump=PumpFactory(), retired_on=later)


def test_a_retired_pump_is_not_retired_again(engineer):
    pump = PumpFactory(retired_on=date(2024, 1, 1))
    with pytest.raises(ValidationError, match="Retired on 2024-01-01"):
        pump_retire(by=engineer, pump=pump, retired_on=date(2024, 2, 1))


def test_lives_end_when_the_pump_left_its_position_not_after_the_store(engineer):
    left_at = datetime(2023, 1, 31, tzinfo=UTC)
    placement = PlacementFactory(removed_at=left_at)
    FittedLifeFactory(pump=placement.pump, fitted_at=datetime(2023, 1, 1, tzinfo=UTC))
    pump = pump_retire(by=engineer, pump=placement.pump, retired_on=date(2024, 1, 1))
    assert pump.retired_on == date(2024, 1, 1)
    life = FittedLife.objects.get()
    assert life.why_removed == WhyRemoved.RETIRED
    assert life.history.first().history_user == engineer
    (row,) = life_rows(FittedLife.objects.all(), NOW)
    assert (row.ending, row.age_days) == (Ending.RETIRED, 30)


def test_what_never_ran_ends_with_age_zero(engineer):
    life = FittedLifeFactory(fitted_at=datetime(2023, 1, 1, tzinfo=UTC))
    pump_retire(by=engineer, pump=life.pump, retired_on=date(2024, 1, 1))
    (row,) = life_rows(FittedLife.objects.all(), NOW)
    assert (row.ending, row.age_days) == (Ending.RETIRED, 0)
