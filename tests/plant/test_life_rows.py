"""Defaults, endings and calendar age of fitted lives as of a moment."""

from datetime import UTC, datetime, timedelta

import pytest

from plant.choices import Beginning, Ending, Location
from plant.models import FittedLife
from plant.selectors.lives import by_place, life_rows
from tests.factories.plant import FittedLifeFactory, PlacementFactory, PumpFactory

AS_OF = datetime(2024, 1, 1, tzinfo=UTC)


def only_row(as_of=AS_OF, **facts):
    FittedLifeFactory(**facts)
    (row,) = life_rows(FittedLife.objects.all(), as_of)
    return row


def test_fitting_and_removal_stand_for_what_was_not_recorded(db):
    row = only_row(
        fitted_at=datetime(2023, 1, 1, tzinfo=UTC),
        removed_at=datetime(2023, 3, 2, tzinfo=UTC),
        why_removed="practice",
    )
    assert (row.started_at, row.started_assumed) == (row.fitted_at, True)
    assert (row.ended_at, row.ended_assumed) == (row.removed_at, True)
    assert row.age_days == 60
    assert row.ending == Ending.SOUND


def test_age_runs_from_first_start_to_the_failure_as_reported(db):
    row = only_row(
        fitted_at=datetime(2023, 1, 1, tzinfo=UTC),
        started_at=datetime(2023, 1, 11, tzinfo=UTC),
        ended_at=datetime(2023, 1, 31, tzinfo=UTC),
        removed_at=datetime(2023, 2, 28, tzinfo=UTC),
        defect_detected=True,
        why_removed="defect",
    )
    assert row.age_days == 20
    assert not row.started_assumed
    assert not row.ended_assumed
    assert row.ending == Ending.FAILED


def test_a_life_still_in_is_cut_at_the_moment_asked_for(db):
    row = only_row(fitted_at=datetime(2023, 12, 2, tzinfo=UTC))
    assert row.is_still_in
    assert row.age_days == 30
    assert row.ended_at is None


def test_an_ending_after_the_moment_has_not_happened_yet(db):
    row = only_row(
        fitted_at=datetime(2023, 12, 2, tzinfo=UTC),
        removed_at=datetime(2024, 2, 1, tzinfo=UTC),
        why_removed="defect",
        defect_detected=True,
    )
    assert row.is_still_in
    assert row.removed_at is None
    assert row.age_days == 30


def test_a_failure_before_the_moment_counts_though_taken_out_after_it(db):
    row = only_row(
        fitted_at=datetime(2023, 12, 2, tzinfo=UTC),
        ended_at=datetime(2023, 12, 22, tzinfo=UTC),
        removed_at=datetime(2024, 2, 1, tzinfo=UTC),
        why_removed="defect",
        defect_detected=True,
    )
    assert row.ending == Ending.FAILED
    assert row.age_days == 20


def test_what_was_fitted_after_the_moment_is_not_there(db):
    FittedLifeFactory(fitted_at=datetime(2024, 5, 1, tzinfo=UTC))
    assert life_rows(FittedLife.objects.all(), AS_OF) == []


def test_unknown_beginning_has_no_age(db):
    row = only_row(
        fitted_at=datetime(2023, 1, 1, tzinfo=UTC), beginning=Beginning.UNKNOWN
    )
    assert row.age_days is None


@pytest.mark.parametrize(("entry_days", "age"), [(100.0, 130.0), (None, None)])
def test_known_age_is_added_to_the_time_in_the_records(db, entry_days, age):
    row = only_row(
        fitted_at=datetime(2023, 12, 2, tzinfo=UTC),
        beginning=Beginning.AGE_KNOWN,
        age_at_entry_days=entry_days,
        age_at_entry_hours=2400.0,
    )
    assert row.age_days == age


def test_death_before_the_first_start_has_age_zero_and_its_name(db):
    row = only_row(
        fitted_at=datetime(2023, 1, 1, tzinfo=UTC),
        started_at=datetime(2023, 1, 5, tzinfo=UTC),
        ended_at=datetime(2023, 1, 3, tzinfo=UTC),
        removed_at=datetime(2023, 1, 6, tzinfo=UTC),
        defect_detected=True,
        why_removed="defect",
    )
    assert row.ending == Ending.DEAD_ON_FITTING
    assert row.age_days == 0


def test_seals_come_before_bearings(db):
    pump = PumpFactory()
    for component, place in (
        ("thrust bearing", Location.THRUST),
        ("radial bearing", Location.RADIAL_DE),
        ("seal", Location.SEAL_SINGLE_INNER),
    ):
        FittedLifeFactory(pump=pump, component=component, location=place)
    rows = by_place(life_rows(pump.lives.all(), AS_OF))
    assert [row.location for row in rows] == [
        "seal single inner",
        "radial de",
        "thrust",
    ]


def test_two_queries_read_every_life(db, django_assert_num_queries):
    FittedLifeFactory.create_batch(8)
    with django_assert_num_queries(2):
        life_rows(FittedLife.objects.all(), AS_OF)


def test_time_in_the_store_is_no_age(db):
    life = FittedLifeFactory(fitted_at=datetime(2024, 1, 1, tzinfo=UTC))
    days = timedelta(days=1)
    first = PlacementFactory(
        pump=life.pump,
        position__area__site=life.pump.site,
        placed_at=life.fitted_at,
        removed_at=life.fitted_at + 30 * days,
    )
    PlacementFactory(
        pump=life.pump,
        position__area__site=life.pump.site,
        placed_at=first.removed_at + 200 * days,
    )
    as_of = first.removed_at + 210 * days
    assert life_rows(FittedLife.objects.all(), as_of)[0].age_days == 40.0
