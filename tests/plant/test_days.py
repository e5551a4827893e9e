"""Days of another age: refused where they are typed, cut where they are read."""

from datetime import UTC, date, datetime

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse

from plant.days import LAST_DAY, refuse_far_day
from plant.forms.fields import DayField, MomentField
from plant.models import Position, Pump
from plant.services.positions import duty_period_set, position_change
from plant.services.pumps import pump_change, pump_register
from tests.factories.plant import (
    DutyPeriodFactory,
    FittedLifeFactory,
    PlacementFactory,
    PositionFactory,
    SiteFactory,
)
from tests.factories.records import HourReadingFactory

FAR = [date(26, 11, 20), date(1899, 12, 31), date(2300, 1, 1), date.max]
SENTENCE = "A year from 1900 to 2100 is expected."


@pytest.mark.parametrize("day", FAR)
def test_a_typed_day_of_another_age_is_refused(day):
    with pytest.raises(ValidationError, match=SENTENCE):
        DayField().clean(day.isoformat())
    with pytest.raises(ValidationError, match=SENTENCE):
        MomentField().clean(f"{day.isoformat()}T12:00")


def test_the_first_and_the_last_day_are_taken():
    for day in (date(1900, 1, 1), LAST_DAY):
        refuse_far_day(day)
        assert DayField().clean(day.isoformat()) == day


@pytest.mark.parametrize("day", FAR)
def test_the_services_refuse_it_beside_its_field(engineer, day):
    position = PositionFactory()
    actions = {
        "records_from": lambda: position_change(
            by=engineer, position=position, area=position.area, records_from=day
        ),
        "out_of_service_on": lambda: position_change(
            by=engineer, position=position, area=position.area, out_of_service_on=day
        ),
        "starts_on": lambda: duty_period_set(
            by=engineer, position=position, starts_on=day
        ),
    }
    for field, action in actions.items():
        with pytest.raises(ValidationError) as refused:
            action()
        assert refused.value.message_dict == {field: [SENTENCE]}
    with pytest.raises(ValidationError, match=SENTENCE):
        pump_register(
            by=engineer, site=SiteFactory(), serial_number="S-1", records_from=day
        )
    assert not Pump.objects.exists()
    position.refresh_from_db()
    assert position.records_from is None


def test_a_pump_keeps_its_day_when_the_new_one_is_a_slip(engineer):
    pump = FittedLifeFactory().pump
    with pytest.raises(ValidationError, match=SENTENCE):
        pump_change(by=engineer, pump=pump, records_from=date(26, 1, 1))
    pump.refresh_from_db()
    assert pump.records_from is None


@pytest.mark.parametrize("day", FAR)
@pytest.mark.parametrize("whose", ["site", "position", "pump"])
def test_the_pages_survive_a_row_with_such_a_day(engineer_client, whose, day):
    position = PositionFactory()
    pump = PlacementFactory(position=position).pump
    DutyPeriodFactory(position=position)
    FittedLifeFactory(pump=pump, position=position)
    rows = {"site": position.site, "position": position, "pump": pump}
    type(rows[whose])._default_manager.update(records_from=day)
    Position.objects.filter(pk=position.pk).update(in_service_on=None)
    for address in _addresses(pump):
        assert engineer_client.get(address).status_code == 200, address


@pytest.mark.parametrize("year", [26, 9999])
def test_the_pages_survive_rows_with_such_moments(engineer_client, year):
    moment = datetime(year, 6, 1, tzinfo=UTC)
    position = PositionFactory()
    placement = PlacementFactory(position=position)
    DutyPeriodFactory(position=position, starts_on=moment.date())
    HourReadingFactory(position=position, read_at=moment)
    life = FittedLifeFactory(pump=placement.pump, position=position)
    times = {"fitted_at": moment} if year < 2000 else {"removed_at": moment}
    type(life).objects.filter(pk=life.pk).update(**times)
    for address in _addresses(placement.pump):
        assert engineer_client.get(address).status_code == 200, address


def _addresses(pump):
    return [
        reverse("analytics:life"),
        reverse("analytics:fleet"),
        reverse("analytics:mtbr") + "?by=plan",
        reverse("analytics:mtbr") + "?by=bearing",
        reverse("analytics:pump_lives", args=[pump.pk]),
        reverse("plant:pump_detail", args=[pump.pk]),
    ]
