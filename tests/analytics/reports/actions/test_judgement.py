"""Before and after of an action: the page's numbers are those of the mathematics."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from analytics.judging.verdict import Finding, judge
from analytics.reports.actions import page
from analytics.reports.actions.expectation import expectation_freeze
from analytics.reports.actions.judgement import judgement
from plant.choices import Beginning, ConditionFound
from plant.models import FittedLife
from records.action_choices import ActionState, ChangeMade
from tests.analytics.reports.actions.fleet import (
    BEGINNING,
    DECIDED,
    DONE,
    fleet,
    repairs_spread,
)
from tests.factories.actions import ActionFactory
from tests.factories.plant import PlacementFactory

pytestmark = pytest.mark.django_db
DUE = date(2024, 2, 1)
FAR = date(2025, 6, 1)


@pytest.fixture
def treated_ten(engineer):
    """Ten of thirty with two repairs a year until the decision; the rest like them."""
    positions = fleet(30)
    for position in positions:
        repairs_spread(position, 6, BEGINNING, DECIDED)
    return decided(engineer, positions[:10]), positions


def decided(engineer, positions, **more):
    action = ActionFactory(
        site=positions[0].site,
        positions=positions,
        decided_at=datetime(2023, 1, 1, 8, tzinfo=UTC),
        **{"state": ActionState.DONE, "done_on": DONE, **more},
    )
    expectation_freeze(by=engineer, action=action)
    return action


def test_half_the_repairs_at_ten_pumps_work_while_their_equals_go_on(treated_ten):
    action, positions = treated_ten
    for position in positions[:5]:
        repairs_spread(position, 1, DONE, DUE)
    for position in positions[10:]:
        repairs_spread(position, 2, DONE, DUE)
    found = judgement(action, FAR)
    assert found.finding is Finding.WORKS
    assert found.after.events == 5
    assert found.after.equal_events == 40
    assert found.asks_for_verdict


def test_the_numbers_of_the_page_are_those_of_judge(treated_ten):
    action, positions = treated_ten
    repairs_spread(positions[0], 2, DONE, DUE)
    repairs_spread(positions[20], 3, DONE, DUE)
    found = judgement(action, FAR)
    expected = replace(
        found.frozen.expected,
        equal_rate=found.equals[0].rate,
        equal_events=sum(unit.events for unit in found.equals),
    )
    asked = judge(
        expected, 2, found.after.years, 3, found.after.equal_years, is_due=True
    )
    assert found.judged == asked
    tiles = {tile["label"]: tile for tile in page.tiles(found)}
    assert tiles["Events after"]["value"] == "2"
    assert tiles["Counted over expected"]["value"] == f"{asked.ratio:.2f}"
    low, high = asked.ratio_interval.low, asked.ratio_interval.high
    assert f"{low:.2f} to {high:.2f}" in tiles["Counted over expected"]["interval"]


def test_the_same_fall_among_the_equals_proves_nothing(treated_ten):
    action, positions = treated_ten
    for position in positions[:5]:
        repairs_spread(position, 1, DONE, DUE)
    for position in positions[10:20]:
        repairs_spread(position, 1, DONE, DUE)
    found = judgement(action, FAR)
    assert found.finding is Finding.UNPROVEN
    assert "so had the untreated equals" in found.reason


def test_before_the_planned_date_it_is_too_early_and_looks_only_describe(treated_ten):
    action, _positions = treated_ten
    found = judgement(action, date(2023, 9, 1))
    assert found.finding is Finding.TOO_EARLY
    assert not found.asks_for_verdict
    assert [look.months for look in found.looks] == [3, 6]
    words = page.context(found)
    assert "The verdict is planned for 2024-02-01" in words["conclusion"]
    assert [row[0]["text"] for row in words["look_rows"]] == [
        "3 months",
        "6 months",
        "7.0 months, so far",
    ]


def test_what_comes_after_the_planned_date_changes_nothing(treated_ten):
    action, positions = treated_ten
    before = judgement(action, DUE)
    for position in positions[:10]:
        repairs_spread(position, 4, DUE + timedelta(days=1), FAR)
    assert judgement(action, FAR).judged == before.judged


def test_an_equal_that_another_action_changed_is_no_untreated_equal(
    treated_ten, engineer
):
    action, positions = treated_ten
    decided(engineer, positions[10:12])
    found = judgement(action, FAR)
    assert len(found.equals) == 18


def test_an_action_not_done_and_one_without_expectation_say_so(engineer):
    positions = fleet(10)
    waiting = decided(engineer, positions[:1], state=ActionState.OPEN, done_on=None)
    assert judgement(waiting, FAR).reason == "It is not done yet."
    bare = ActionFactory(state=ActionState.DONE, done_on=DONE)
    found = judgement(bare, FAR)
    assert found.finding is Finding.UNPROVEN
    assert "Nothing was frozen" in page.conclusion(found)


def test_units_taken_out_of_service_leave_nothing_to_judge(treated_ten):
    action, positions = treated_ten
    for position in positions[:10]:
        position.out_of_service_on = DONE
        position.save()
    found = judgement(action, FAR)
    assert (found.finding, found.judged) == (Finding.UNPROVEN, None)
    assert "hardly in service" in page.context(found)["conclusion"]


def lives_make(position, pump, days, start):
    """Seals that fail one after the other, the last one still in."""
    lives, at = [], start
    for span in days:
        ended = at + timedelta(days=span)
        lives.append(
            FittedLife(
                pump=pump,
                position=position,
                component="seal",
                location="seal single inner",
                part_number="S-1",
                piping_plan="11",
                beginning=Beginning.KNOWN,
                fitted_at=at,
                started_at=at,
                ended_at=ended,
                removed_at=ended,
                defect_detected=True,
                condition_found=ConditionFound.REJECT,
                why_removed="failed",
                condition_fitted="new",
            )
        )
        at = ended
    FittedLife.objects.bulk_create(lives)


def test_a_change_of_seals_is_judged_by_lives_where_enough_failed(engineer):
    positions = fleet(12)
    for number, position in enumerate(positions):
        repairs_spread(position, 2, BEGINNING, DECIDED)
        pump = PlacementFactory(position=position).pump
        first = datetime(2020, 1, 2, tzinfo=UTC)
        lives_make(position, pump, [150 + 9 * number, 120, 200 + number], first)
        if number < 4:
            changed = datetime(2023, 1, 20, tzinfo=UTC)
            lives_make(position, pump, [420 + 20 * number, 380], changed)
    action = decided(
        engineer,
        positions[:4],
        change_made=ChangeMade.SEAL_TYPE,
        judge_after_months=36,
    )
    found = judgement(action, date(2026, 6, 1))
    assert (found.lives.before, found.lives.after) == (36, 8)
    assert found.judged_by_lives
    assert found.finding is Finding.WORKS
    sentences = " ".join(page.context(found)["life_sentences"])
    assert "36 seal lives of the same part and plan before" in sentences
    assert "Lives are longer than chance explains" in sentences


def test_a_change_of_duty_compares_no_lives(treated_ten):
    action, _positions = treated_ten
    assert judgement(action, FAR).lives is None
