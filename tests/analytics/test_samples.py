"""Each life is failed, suspended or left out by the rules, and counted once."""

from datetime import date
from functools import partial

import pytest

from analytics.ages import Clock
from analytics.samples import LeftOut, Rejects, Status
from plant.choices import (
    Beginning,
    ConditionFitted,
    ConditionFound,
    Ending,
    WhyRemoved,
)
from tests.analytics.judged_lives import (
    AS_OF,
    DAY,
    FAILED,
    FITTED,
    METER,
    SOUND,
    judge,
    life,
    only,
)
from tests.factories.plant import (
    FittedLifeFactory,
    PlacementFactory,
    PumpFactory,
    SiteFactory,
)


@pytest.fixture
def judged(engineer):
    """Judge all lives on record; returns the sample."""
    return partial(judge, engineer)


def test_a_sound_part_is_suspended_at_the_stop(judged):
    life(100, ended_at=FITTED + 95 * DAY, **SOUND)
    row = only(judged())
    assert (row.status, row.ending, row.age) == (Status.SUSPENDED, Ending.SOUND, 95)


def test_a_life_still_in_is_cut_at_the_as_of_day(judged):
    life()
    row = only(judged())
    assert (row.status, row.ending) == (Status.SUSPENDED, Ending.STILL_IN)
    assert row.age == 365


def test_a_life_that_ended_later_was_still_in_on_the_as_of_day(judged):
    life(400, **FAILED)
    row = only(judged())
    assert (row.status, row.age) == (Status.SUSPENDED, 365)


def test_a_failure_reported_before_the_as_of_day_counts_though_taken_out_after(judged):
    life(400, ended_at=FITTED + 360 * DAY, **FAILED)
    row = only(judged())
    assert (row.status, row.age) == (Status.FAILED, 360)


def test_a_life_fitted_after_the_as_of_day_is_not_in_the_population(judged):
    FittedLifeFactory(fitted_at=AS_OF + DAY)
    assert len(judged().rows) == 0


def test_a_refitted_part_of_no_recorded_age_is_left_out(judged):
    life(100, condition_fitted=ConditionFitted.REFITTED, **FAILED)
    assert only(judged()).reason == LeftOut.EARLIER_AGE_UNKNOWN


@pytest.mark.parametrize(
    ("facts", "reason"),
    [
        ({"beginning": Beginning.UNKNOWN, **FAILED}, LeftOut.BEGINNING_UNKNOWN),
        ({"why_removed": WhyRemoved.UNKNOWN}, LeftOut.ENDING_UNKNOWN),
        ({"ended_at": FITTED, **FAILED}, LeftOut.DEAD_ON_FITTING),
        ({"ended_at": FITTED, **SOUND}, LeftOut.NO_SERVICE),
        ({"started_at": FITTED + 120 * DAY, **SOUND}, LeftOut.CONTRADICTION),
        (
            {
                "beginning": Beginning.AGE_KNOWN,
                "age_at_entry_days": -5,
                "age_at_entry_hours": 10,
                **FAILED,
            },
            LeftOut.CONTRADICTION,
        ),
    ],
)
def test_left_out_with_its_reason(judged, facts, reason):
    life(100, **facts)
    row = only(judged())
    assert (row.status, row.reason) == (Status.LEFT_OUT, reason)


def test_what_ended_before_the_records_begin_is_left_out(judged):
    works = SiteFactory(records_from=date(2021, 6, 1))
    life(100, pump=PumpFactory(site=works), **FAILED)
    assert only(judged()).reason == LeftOut.BEFORE_RECORDS


@pytest.mark.parametrize(
    ("facts", "ending"),
    [
        ({"why_removed": WhyRemoved.DAMAGED}, Ending.DAMAGED),
        (
            {
                "why_removed": WhyRemoved.PRACTICE,
                "condition_found": ConditionFound.NOT_INSPECTED,
            },
            Ending.NOT_INSPECTED,
        ),
        ({"why_removed": WhyRemoved.PLANNED}, Ending.PLANNED),
        ({"why_removed": WhyRemoved.UPGRADED}, Ending.UPGRADED),
        ({"why_removed": WhyRemoved.RETIRED}, Ending.RETIRED),
    ],
)
def test_other_endings_are_suspensions_until_the_user_counts_them(
    judged, facts, ending
):
    life(100, **facts)
    assert only(judged()).status == Status.SUSPENDED
    counted = judged(failure_endings=frozenset({ending}))
    assert only(counted).status == Status.FAILED


def test_a_failure_becomes_a_suspension_when_another_ending_is_studied(judged):
    life(100, **FAILED)
    sample = judged(failure_endings=frozenset({Ending.DAMAGED}))
    assert only(sample).status == Status.SUSPENDED


@pytest.mark.parametrize(
    ("rejects", "site_rule", "status"),
    [
        (Rejects.SITE_RULE, False, Status.SUSPENDED),
        (Rejects.SITE_RULE, True, Status.FAILED),
        (Rejects.FAILURE, False, Status.FAILED),
        (Rejects.SUSPENSION, True, Status.SUSPENDED),
    ],
)
def test_rejects_follow_the_rule_of_their_site_unless_told(
    judged, rejects, site_rule, status
):
    works = SiteFactory(reject_counts_as_failure=site_rule)
    life(
        100,
        pump=PumpFactory(site=works),
        why_removed=WhyRemoved.PRACTICE,
        condition_found=ConditionFound.REJECT,
    )
    assert only(judged(rejects=rejects)).status == status


def test_repaired_parts_are_kept_apart_and_counted(judged):
    life(100, **FAILED)
    life(100, condition_fitted=ConditionFitted.REPAIRED, **FAILED)
    sample = judged()
    assert len(sample.rows) == 1
    assert sample.kept_apart == {"repaired": 1}
    pooled = judged(conditions=tuple(ConditionFitted.values))
    assert len(pooled.rows) == 2
    assert pooled.kept_apart == {}


def test_failed_without_a_running_hour_is_dead_on_fitting_on_that_clock(judged):
    life(100, fitted_hours=700.0, removed_hours=700.0, **FAILED)
    assert only(judged(Clock.HOURS)).reason == LeftOut.DEAD_ON_FITTING


def test_lives_of_one_position_are_one_group(judged):
    placement = PlacementFactory()
    for days in (0, 100):
        FittedLifeFactory(
            pump=placement.pump,
            position=placement.position,
            fitted_at=FITTED + days * DAY,
            removed_at=FITTED + (days + 50) * DAY,
            **FAILED,
        )
    data = judged().life_data()
    assert (data.n, data.clusters, data.unit) == (2, 1, "d")


def test_a_part_fitted_in_the_shop_belongs_to_the_position_it_then_came_to(judged):
    placement = PlacementFactory(
        position__tag="P-777", placed_at=FITTED + DAY, position__liquid="brine"
    )
    life(100, pump=placement.pump, **FAILED)
    row = only(judged())
    assert (row.tag, row.liquid) == ("P-777", "brine")


KINDS_OF_LIFE = [
    FAILED,
    SOUND,
    {"why_removed": WhyRemoved.DAMAGED},
    {"why_removed": WhyRemoved.UNKNOWN},
    {"why_removed": WhyRemoved.PRACTICE, "condition_found": ConditionFound.REJECT},
    {"beginning": Beginning.UNKNOWN, **FAILED},
    {"ended_at": FITTED, **FAILED},
    {"ended_at": FITTED, **SOUND},
    {"condition_fitted": ConditionFitted.REFITTED, **SOUND},
    {"removed_at": None},
    {**METER, **FAILED},
]


@pytest.mark.parametrize("clock", list(Clock))
@pytest.mark.parametrize("measured_only", [False, True])
@pytest.mark.parametrize("endings", [{Ending.FAILED}, {Ending.DAMAGED, Ending.SOUND}])
def test_every_life_is_counted_exactly_once(judged, clock, measured_only, endings):
    for facts in KINDS_OF_LIFE:
        life(100, **facts)
    sample = judged(
        clock, measured_only=measured_only, failure_endings=frozenset(endings)
    )
    assert sum(lives for _s, _w, lives in sample.breakdown()) == len(KINDS_OF_LIFE)
    assert sum(sample.count(status) for status in Status) == len(KINDS_OF_LIFE)
    reasons = sample.rows["reason"] != ""
    assert list(reasons) == list(sample.rows["status"] == Status.LEFT_OUT)
