"""Shapes, refusals and rules are put in words that follow from the numbers."""

from datetime import UTC, datetime

import pytest

from analytics.ages import Clock
from analytics.life.errors import DidNotConverge, NoMaximum, NoSpread, TooFewFailures
from analytics.life.results import Interval
from analytics.reports.life.words import (
    advice,
    method_in_words,
    rule_in_words,
    shape_reading,
)
from analytics.samples import Rejects, SampleRule
from plant.choices import Ending

NOW = datetime(2024, 1, 1, tzinfo=UTC)


@pytest.mark.parametrize(
    ("low", "high", "begins"),
    [
        (0.4, 0.9, "Early failures"),
        (0.4, 1.0, "Cannot be told"),
        (0.8, 1.6, "Cannot be told"),
        (1.1, 2.5, "Wear"),
        (1.1, 9.0, "Wear"),
        (4.2, 7.5, "Fast wear-out"),
    ],
)
def test_the_shape_is_read_only_as_far_as_its_interval_allows(low, high, begins):
    reading = shape_reading(Interval(low, high, 0.9, "likelihood_ratio"))
    assert reading.startswith(begins)


@pytest.mark.parametrize(
    ("error", "words"),
    [
        (TooFewFailures(), "Widen the choice to like parts"),
        (NoSpread(), "copied from one row to the next"),
        (NoMaximum(), "entry ages"),
        (DidNotConverge(), "far out of line"),
    ],
)
def test_each_refusal_says_what_to_do(error, words):
    assert words in advice(error, failures=2)


def test_no_failure_is_no_fault():
    assert "lower bounds" in advice(TooFewFailures(), failures=0)


def test_the_rule_names_every_ending_that_counts_and_the_clock():
    rule = SampleRule(
        as_of=NOW,
        clock=Clock.DAYS,
        failure_endings=frozenset({Ending.FAILED, Ending.DAMAGED}),
        rejects=Rejects.FAILURE,
    )
    words = rule_in_words(rule)
    assert "failed: removed for a detected defect; damaged by another item" in words
    assert "parts rejected at inspection count as failures" in words
    assert words.endswith("Ages are calendar days in service.")


def test_a_method_keeps_what_stands_behind_its_comma():
    assert (
        method_in_words("likelihood_ratio, clustered by position")
        == "likelihood ratio, clustered by position"
    )
