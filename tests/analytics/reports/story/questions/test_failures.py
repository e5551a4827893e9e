"""Rules about failures: the same again, on starting, with one machine, after checks."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from analytics.reports.story.bench import BenchStory, ShortAfterCheck
from analytics.reports.story.questions.failures import (
    fails_on_starting,
    follows_the_machine,
    same_mechanism,
    short_after_checks,
)
from analytics.reports.story.repairs import RepairRow, Shares

FAILURE = RepairRow(
    pk=1,
    number="R-1",
    reported_at=datetime(2024, 3, 1, tzinfo=UTC),
    category="corrective",
    item="mechanical seal",
    mechanism="2.7",
    operating_state="running",
    position=1,
    tag="P-1",
    pump=1,
    is_counted=True,
    is_failure=True,
)
SHARES = Shares(
    {"2.7": 10, "2.4": 60, "1.2": 30, "": 50}, {"running": 97, "starting": 3}
)


def failures(mechanisms, **facts):
    return [replace(FAILURE, mechanism=code, **facts) for code in mechanisms]


def test_a_mechanism_that_comes_back_asks_for_its_cause():
    rows = failures(["2.7", "2.7", "2.7", "2.4"], patterns=("Heat checks",))
    question = same_mechanism(rows, SHARES)
    assert question.subject == "The same again: overheating"
    assert "3 of 4 failures" in question.evidence
    assert "10\u00a0%" in question.evidence
    assert "Seen at teardown 4 times: heat checks." in question.evidence


@pytest.mark.parametrize(
    "mechanisms", [["2.7", "2.7"], ["2.4"] * 4, ["", "6.4", "", "1.0"], []]
)
def test_twice_the_usual_or_nothing_known_asks_nothing(mechanisms):
    assert same_mechanism(failures(mechanisms), SHARES) is None


def test_failures_on_starting_ask_how_it_is_kept_and_started():
    rows = failures(["2.4"] * 3, operating_state="starting")
    question = fails_on_starting(rows, SHARES)
    assert "started" in question.asks
    assert "3 of 3 failures" in question.evidence


def test_one_start_or_starts_as_elsewhere_ask_nothing():
    once = failures(["2.4"], operating_state="starting")
    assert fails_on_starting(once, SHARES) is None
    usual = Shares({}, {"running": 40, "starting": 60})
    thrice = failures(["2.4"] * 3, operating_state="starting")
    assert fails_on_starting(thrice, usual) is None


def test_repairs_that_come_with_one_machine_ask_about_it():
    question = follows_the_machine("HW-1", 9, 18, 0.04)
    assert "HW-1 itself" in question.asks
    assert "9 of 18 repairs" in question.evidence


@pytest.mark.parametrize("facts", [(2, 4, 0.01), (9, 18, 0.5), (5, 5, 1.0)])
def test_its_share_or_the_only_machine_asks_nothing(facts):
    assert follows_the_machine("HW-1", *facts) is None


def test_short_lives_after_checks_out_of_limit_ask_why():
    case = ShortAfterCheck("R-7", "Coupling offset", "Thrust bearing", 600.0)
    question = short_after_checks(BenchStory(20, (), 3, (case, case)))
    assert "out of limit" in question.asks
    assert "after R-7: coupling offset" in question.evidence
    assert short_after_checks(BenchStory(20, (), 3, (case,))) is None
