"""The pages on energy find the pump of the demo that wears, and no other."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from analytics.exposure import window_of_months
from analytics.reports.energy.judging import Verdict
from analytics.reports.energy.position import position_energy
from analytics.reports.energy.report import energy_report
from analytics.scope import Scope
from plant.models import Position, User
from records.demo.acceptance import AREA
from records.demo.rounds import (
    DAYS_BETWEEN_ROUNDS,
    PUMP_EFFICIENCY,
    ROUNDS,
    WORN_HEAD_LOST,
    WORN_TAG,
)
from tests.demo_plant import END

MORNING = datetime(2026, 11, 25, tzinfo=UTC)
# The rounds lie over two years, and the head falls evenly from none to all of it.
LOST_A_YEAR = WORN_HEAD_LOST / 2


@pytest.fixture
def scope(demo, db):
    manager = User.objects.get(username="manager")
    return Scope(manager, window_of_months(END, 12))


@pytest.fixture
def worn(scope):
    position = Position.objects.select_related("site", "area").get(tag=WORN_TAG)
    asked = Scope(scope.user, scope.window, position=position)
    return position_energy(asked, as_of=MORNING)


def test_only_the_pump_that_wears_is_called_worn(scope):
    report = energy_report(scope, as_of=MORNING)
    assert [line.position.tag for line in report.worn()] == [WORN_TAG]
    assert len(report.lines) == 160


def test_no_other_pump_reads_better_than_as_new(scope):
    assert energy_report(scope, as_of=MORNING).verdicts[Verdict.BETTER] == 0


def true_losses(worn) -> np.ndarray:
    """Share of the head truly lost at each round used: it grows from turn to turn."""
    days_ago = [
        (MORNING - one.round.read_at) / timedelta(days=1)
        for one in worn.line.efficiency.used
    ]
    # A round lies one to nine days before its day.
    turns = ROUNDS - 1 - (np.array(days_ago) - 5) / DAYS_BETWEEN_ROUNDS
    return WORN_HEAD_LOST * turns / (ROUNDS - 1)


def test_its_drop_is_the_true_one(worn):
    truth = float(true_losses(worn).mean()) * PUMP_EFFICIENCY
    assert truth > 0.06
    assert truth in worn.line.efficiency.drop.interval


def test_its_head_falls_as_the_generator_lets_it(worn):
    assert -LOST_A_YEAR in worn.head_pace.interval
    assert worn.head_pace.interval.high < 0


def test_its_pump_has_acceptance_points_and_others_only_a_rated_duty(scope, worn):
    assert worn.known.is_tested
    report = energy_report(scope, as_of=MORNING)
    tested = {line.position.area.name for line in report.lines if line.known.is_tested}
    assert tested == {AREA}
    others = {
        line.known.words for line in report.lines if line.position.area.name != AREA
    }
    assert others == {"rated duty, not a test"}


def test_the_power_that_it_wastes_is_the_true_one(worn):
    """Power at the shaft stays, of which the lost share of the head is wasted."""
    truth = float(true_losses(worn).mean()) * worn.line.position.power_kw
    assert truth in worn.line.efficiency.measured.excess_power_kw.interval
