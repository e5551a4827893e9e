"""Fitted lives: what the services do and refuse, and what the database holds itself."""

from datetime import UTC, date, datetime

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.db import IntegrityError, transaction

from plant.choices import Component, Location, WhyRemoved
from plant.models import FittedLife
from plant.services.lives import duty_at, life_fit, life_put_back, life_remove
from tests.factories.plant import (
    DutyPeriodFactory,
    FittedLifeFactory,
    PlacementFactory,
    PositionFactory,
    PumpFactory,
    UserFactory,
)


def at(month, day=1):
    return datetime(2024, month, day, tzinfo=UTC)


@pytest.fixture
def pump(db):
    return PumpFactory(serial_number="SN-1")


def fit(planner, pump, **changes):
    return life_fit(
        **{
            "by": planner,
            "pump": pump,
            "component": Component.SEAL,
            "location": Location.SEAL_SINGLE_INNER,
            "fitted_at": at(3),
            **changes,
        }
    )


def remove(planner, life, **changes):
    facts = {"removed_at": at(6), "why_removed": WhyRemoved.PLANNED}
    return life_remove(by=planner, life=life, **{**facts, **changes})


def raw(pump, **changes):
    return FittedLife(
        **{
            "pump": pump,
            "component": Component.SEAL,
            "location": Location.SEAL_SINGLE_INNER,
            "fitted_at": at(3),
            **changes,
        }
    )


def refused_by_database(row):
    """Whether the raw row is refused, around every check of ours."""
    with pytest.raises(IntegrityError), transaction.atomic():
        FittedLife.objects.bulk_create([row])
    return True


def test_a_life_copies_plan_and_duty_of_its_day(planner):
    position = PositionFactory(liquid="Acid", service="Reflux", temperature_c=80.0)
    pump = PumpFactory(site=position.site)
    PlacementFactory(position=position, pump=pump)
    DutyPeriodFactory(position=position, piping_plan="11", running_share=0.5)
    DutyPeriodFactory(position=position, starts_on=date(2024, 5, 1), piping_plan="32")
    life = fit(planner, pump)
    assert (life.position, life.liquid, life.service) == (position, "Acid", "Reflux")
    assert (life.piping_plan, life.running_share) == ("11", 0.5)
    assert life.temperature_c == 80.0


def test_a_plan_that_was_typed_is_kept(planner):
    position = PositionFactory()
    pump = PumpFactory(site=position.site)
    PlacementFactory(position=position, pump=pump)
    DutyPeriodFactory(position=position, piping_plan="11")
    assert fit(planner, pump, piping_plan="53B").piping_plan == "53B"


def test_a_life_in_the_store_has_no_position(planner, pump):
    assert fit(planner, pump).position is None


def test_a_bearing_does_not_stand_at_a_seals_place(planner, pump):
    with pytest.raises(ValidationError, match="Choose a place where such a component"):
        fit(planner, pump, component=Component.RADIAL)


def test_a_place_holds_one_component_at_a_time(planner, pump):
    FittedLifeFactory(pump=pump)
    with pytest.raises(ValidationError) as refused:
        fit(planner, pump)
    assert refused.value.messages == [
        "Seal, single end, inner of SN-1 is taken from 2020-01-01 00:00 until today. "
        "Take that one out first."
    ]


def test_a_life_does_not_begin_inside_a_closed_one(planner, pump):
    FittedLifeFactory(pump=pump, removed_at=at(6), why_removed=WhyRemoved.PLANNED)
    with pytest.raises(ValidationError, match="until 2024-06-01 00:00"):
        fit(planner, pump)


def test_lives_may_touch(planner, pump):
    FittedLifeFactory(pump=pump, removed_at=at(3), why_removed=WhyRemoved.PLANNED)
    assert fit(planner, pump).removed_at is None


def test_the_same_place_of_another_pump_is_free(planner, pump):
    FittedLifeFactory()
    assert fit(planner, pump).pk


def test_a_life_does_not_start_before_it_is_fitted(planner, pump):
    with pytest.raises(ValidationError):
        fit(planner, pump, started_at=at(2))


def test_an_age_known_says_the_age(planner, pump):
    with pytest.raises(ValidationError):
        fit(planner, pump, beginning="age known")
    assert fit(planner, pump, beginning="age known", age_at_entry_days=100.0).pk


def test_a_life_is_closed_with_its_facts(planner, pump):
    life = remove(planner, FittedLifeFactory(pump=pump), ended_at=at(5))
    assert (life.ended_at, life.removed_at) == (at(5), at(6))
    assert life.history.first().history_user == planner


def test_a_life_is_taken_out_once(planner, pump):
    life = FittedLifeFactory(pump=pump)
    remove(planner, life)
    with pytest.raises(ValidationError, match="was already taken out on 2024-06-01"):
        remove(planner, life)


def test_a_life_is_not_taken_out_before_it_was_fitted(planner, pump):
    life = FittedLifeFactory(pump=pump, fitted_at=at(7))
    with pytest.raises(ValidationError, match="Fitted on 2024-07-01"):
        remove(planner, life)


def test_a_failure_reported_before_the_fitting_counts_from_the_fitting(planner, pump):
    life = FittedLifeFactory(pump=pump, fitted_at=at(5))
    assert remove(planner, life, ended_at=at(4)).ended_at == at(5)


def test_a_life_does_not_end_after_its_removal(planner, pump):
    with pytest.raises(ValidationError):
        remove(planner, FittedLifeFactory(pump=pump), ended_at=at(7))


def test_a_defect_as_the_reason_asks_for_a_defect(planner, pump):
    with pytest.raises(ValidationError, match="No defect was detected"):
        remove(
            planner,
            FittedLifeFactory(pump=pump),
            why_removed=WhyRemoved.DEFECT,
            defect_detected=False,
        )


def test_a_removal_is_undone(planner, pump):
    life = remove(planner, FittedLifeFactory(pump=pump), condition_found="worn")
    life_put_back(by=planner, life=life)
    life.refresh_from_db()
    assert (life.removed_at, life.why_removed, life.condition_found) == (None, "", "")


def test_a_removal_is_not_undone_over_a_later_life(planner, pump):
    life = remove(planner, FittedLifeFactory(pump=pump))
    fit(planner, pump, fitted_at=at(7))
    with pytest.raises(ValidationError, match="Take that one out first"):
        life_put_back(by=planner, life=life)


def test_nothing_is_put_back_into_a_retired_pump(planner, pump):
    life = remove(planner, FittedLifeFactory(pump=pump))
    pump.retired_on = date(2024, 8, 1)
    pump.save()
    with pytest.raises(ValidationError, match="SN-1 was retired on 2024-08-01"):
        life_put_back(by=planner, life=life)
    life.refresh_from_db()
    assert life.removed_at == at(6)


def test_managers_fit_and_remove_nothing(manager, pump):
    life = FittedLifeFactory(pump=pump)
    for action in (
        lambda: fit(manager, pump),
        lambda: remove(manager, life),
        lambda: life_put_back(by=manager, life=life),
    ):
        with pytest.raises(PermissionDenied):
            action()


def test_people_of_another_site_fit_nothing(pump):
    stranger = UserFactory(role="planner", sees_all_sites=False)
    with pytest.raises(PermissionDenied, match="You do not work at"):
        fit(stranger, pump)


@pytest.mark.parametrize(
    "wrong",
    [
        {"component": Component.RADIAL},
        {"removed_at": at(2)},
        {"started_at": at(2)},
        {"ended_at": at(4)},
        {"ended_at": at(7), "removed_at": at(6)},
        {"ended_at": at(2), "removed_at": at(6)},
        {"beginning": "age known"},
        {"why_removed": WhyRemoved.DEFECT},
    ],
)
def test_the_database_refuses_rows_that_cannot_be(pump, wrong):
    assert refused_by_database(raw(pump, **wrong))


def test_the_database_refuses_two_lives_still_in_one_place(pump):
    FittedLifeFactory(pump=pump)
    assert refused_by_database(raw(pump))


@pytest.mark.postgresql
def test_postgresql_refuses_closed_lives_that_overlap(pump):
    FittedLifeFactory(pump=pump, removed_at=at(6), why_removed=WhyRemoved.PLANNED)
    assert refused_by_database(raw(pump, fitted_at=at(5), removed_at=at(8)))


@pytest.mark.postgresql
def test_postgresql_lets_lives_touch(pump):
    FittedLifeFactory(pump=pump, removed_at=at(3), why_removed=WhyRemoved.PLANNED)
    FittedLife.objects.bulk_create([raw(pump, removed_at=at(4))])
    assert FittedLife.objects.count() == 2


def test_duty_is_that_of_the_day_by_the_clock_of_the_site(db):
    position = PositionFactory(area__site__time_zone="Europe/Amsterdam")
    DutyPeriodFactory(position=position, starts_on=date(2024, 6, 1), running_share=0.4)
    midnight_there = datetime(2024, 5, 31, 22, 0, tzinfo=UTC)
    duty = duty_at(position=position, at=midnight_there)
    assert duty is not None
    assert duty.running_share == 0.4
