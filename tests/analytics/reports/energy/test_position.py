"""The judgement of one position: as the list has it, with its pace over time."""

import pytest
from django.core.exceptions import PermissionDenied

from analytics.reports.energy.position import position_energy
from analytics.reports.energy.report import energy_report
from plant.models import Placement
from records.choices import Activity, Item
from tests.analytics.reports.energy.pumps import (
    AS_OF,
    NEWEST,
    position_worn,
    scope_of,
)
from tests.factories.energy import day, round_read
from tests.factories.plant import PlacementFactory, UserFactory
from tests.factories.records import RepairFactory

pytestmark = pytest.mark.django_db


def about(user, position, **more):
    return position_energy(scope_of(user, position), as_of=AS_OF, **more)


def test_list_and_page_of_a_position_agree(engineer):
    position = position_worn(0.69, 0.67, 0.66, 0.65, 0.64, 0.63)
    listed = energy_report(scope_of(engineer), as_of=AS_OF).lines[0]
    found = about(engineer, position)
    assert found.line.efficiency.now == listed.efficiency.now
    assert found.line.efficiency.drop == listed.efficiency.drop
    assert found.running == listed.running


def test_an_even_fall_shows_its_pace_and_the_years_it_took(engineer):
    """Two points every hundred days, in the mean of the last five six points down."""
    position = position_worn(0.68, 0.66, 0.64, 0.62, 0.60)
    found = about(engineer, position)
    pace = -0.02 * 3.6525
    assert found.pace.value == pytest.approx(pace)
    assert found.line.efficiency.drop.value == pytest.approx(0.06)
    assert found.wear_years == pytest.approx(0.06 / -pace)


def test_a_level_efficiency_has_no_years_to_wear(engineer):
    found = about(engineer, position_worn(0.60, 0.601, 0.599, 0.60))
    assert found.wear_years is None


def test_the_head_is_set_against_that_as_new(engineer):
    found = about(engineer, position_worn(0.60, 0.60, 0.60))
    assert [(one.head_m, one.as_new_m) for one in found.heads] == [(40.0, 40.0)] * 3
    assert found.head_pace.value == pytest.approx(0, abs=1e-9)


def test_the_repair_that_opened_the_wet_end_is_named(engineer):
    position = position_worn(0.50, 0.69, 0.70, 0.71)
    row = RepairFactory(
        position=position,
        pump=Placement.objects.get(position=position).pump,
        item=Item.IMPELLER,
        activity=Activity.REPAIR,
        reported_at=day(NEWEST - 250),
    )
    found = about(engineer, position)
    assert found.opening == row
    assert len(found.heads) == 3


def test_what_was_struck_or_read_on_standby_is_counted(engineer):
    position = position_worn(0.6, 0.6, 0.6)
    round_read(position, day(NEWEST), FLOW=1.0, struck_reason="Slip")
    round_read(position, day(NEWEST), HEAD=1.0, running_state="standby")
    found = about(engineer, position)
    assert (found.struck, found.standby) == (1, 1)
    assert len(found.line.efficiency.used) == 3


def test_a_position_without_readings_has_a_sentence(engineer):
    position = PlacementFactory(position__density_kg_m3=1000.0).position
    found = about(engineer, position)
    assert found.line.efficiency.sentence.startswith("No readings at hand since")
    assert (found.heads, found.pace, found.wear_years) == ([], None, None)


def test_without_the_right_nothing_is_told():
    with pytest.raises(PermissionDenied):
        about(UserFactory(), position_worn(0.6, 0.6, 0.6))
