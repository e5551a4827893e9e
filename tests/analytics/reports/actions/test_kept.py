"""Figures kept with a verdict: what is taken back is what was put away."""

import json
from dataclasses import replace
from datetime import UTC, date, datetime

import pytest
from django.db import DatabaseError, transaction

from analytics.models import FrozenVerdict
from analytics.reports.actions import since
from analytics.reports.actions.judgement import judgement
from analytics.reports.actions.kept import figures_of, judgement_kept
from analytics.services.actions import action_judge_and_freeze
from plant.version import VERSION
from records.action_choices import ChangeMade, Verdict
from tests.analytics.reports.actions.fleet import (
    BEGINNING,
    DECIDED,
    DONE,
    fleet,
    repairs_spread,
)
from tests.analytics.reports.actions.test_judgement import decided, lives_make
from tests.factories.plant import PlacementFactory

pytestmark = pytest.mark.django_db
DUE = date(2024, 2, 1)
JUDGED_AT = datetime(2024, 3, 1, 8, tzinfo=UTC)


def changed_seals(engineer, **more):
    """Three of ten with new seals; lives and repairs on both sides."""
    positions = fleet(10)
    for number, position in enumerate(positions):
        repairs_spread(position, 2 + number % 3, BEGINNING, DECIDED)
        pump = PlacementFactory(position=position).pump
        start = datetime(2020, 1, 2, tzinfo=UTC)
        lives_make(position, pump, [150 + 9 * number, 120, 200], start)
        if number < 3:
            changed = datetime(2023, 1, 20, tzinfo=UTC)
            lives_make(position, pump, [90 + 20 * number, 80], changed)
    repairs_spread(positions[1], 1, DONE, DUE)
    repairs_spread(positions[7], 2, DONE, DUE)
    more = {"change_made": ChangeMade.SEAL_TYPE, **more}
    return decided(engineer, positions[:3], **more), positions


def given(engineer, action, **more):
    return action_judge_and_freeze(
        **{
            "by": engineer,
            "action": action,
            "verdict": Verdict.UNPROVEN,
            "note": "Too few",
            "judged_at": JUDGED_AT,
            **more,
        }
    )


def test_what_is_taken_back_is_what_was_put_away(engineer):
    action, _positions = changed_seals(engineer)
    found = judgement(action, JUDGED_AT.date())
    assert found.lives.judged.comparison is not None
    assert len(found.looks) == 3
    judged = given(engineer, action)
    back = judgement_kept(judged)
    lives = replace(found.lives.judged, comparison=None)
    expected = replace(found, kept=back.kept, lives=replace(found.lives, judged=lives))
    assert back == expected
    row = FrozenVerdict.objects.get()
    assert (row.as_of, row.software_version) == (JUDGED_AT.date(), VERSION)
    assert "Weibull" in row.method
    assert "is not counted again" in row.method


def test_the_figures_are_plain_json_numbers(engineer):
    action, _positions = changed_seals(engineer)
    figures = figures_of(judgement(action, JUDGED_AT.date()))
    assert json.loads(json.dumps(figures, allow_nan=False)) == figures


def test_an_action_without_units_in_service_keeps_that_there_was_nothing(engineer):
    positions = fleet(2)
    for position in positions:
        position.in_service_on = date(2024, 1, 1)
        position.save()
    action = decided(engineer, positions)
    back = judgement_kept(given(engineer, action))
    assert (back.after, back.judged, back.units) == (None, None, ())
    assert back.reason.startswith("Nothing was frozen on the day of the decision")


def test_nothing_is_kept_where_the_verdict_is_refused(engineer):
    action, _positions = changed_seals(engineer)
    with pytest.raises(Exception, match="Say in a sentence why"):
        given(engineer, action, note=" ")
    assert not FrozenVerdict.objects.exists()
    assert judgement_kept(action) is None


def test_a_repair_taken_into_the_records_later_is_a_difference(engineer):
    action, positions = changed_seals(engineer)
    judged = given(engineer, action)
    assert since.judgement_shown(judged, date(2025, 6, 1)).differences == []
    repairs_spread(positions[8], 1, DONE, DUE)
    shown = since.judgement_shown(judged, date(2025, 6, 1))
    told = {row.about: row for row in shown.differences}
    assert "2 events" in told["Untreated equals"].kept
    assert "3 events" in told["Untreated equals"].now
    assert "Events after" not in told
    assert shown.found.after.equal_events == 2


@pytest.mark.postgresql
@pytest.mark.parametrize("turn", ["update", "delete"])
def test_the_database_refuses_to_rewrite_what_a_verdict_rested_on(engineer, turn):
    action, _positions = changed_seals(engineer)
    given(engineer, action)
    rows = FrozenVerdict.objects.all()
    with (
        pytest.raises(DatabaseError, match="figures of a verdict never change"),
        transaction.atomic(),
    ):
        rows.update(method="") if turn == "update" else rows.delete()
