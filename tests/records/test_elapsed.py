"""Spans between events in words."""

from datetime import timedelta

import pytest
from django.utils import timezone

from records.choices import RepairState
from records.elapsed import down_in_words, rework_in_words, since_in_words
from records.models import Repair


def plain(text):
    return text.replace("\N{NO-BREAK SPACE}", " ")


@pytest.mark.parametrize(
    ("span", "words"),
    [
        (timedelta(hours=28), "1 d 4 h"),
        (timedelta(days=20, hours=5), "20 days"),
        (timedelta(days=2649, hours=3), "2,649 days"),
    ],
)
def test_a_span_long_ago_is_in_whole_days(span, words):
    assert plain(since_in_words(span)) == words


def test_a_rework_says_how_soon_and_which_item():
    assert rework_in_words(timedelta(days=20), same_item=False) == (
        "rework: 20 days after the last repair (another item)"
    )


def test_an_open_stoppage_is_counted_to_now():
    stopped = Repair(stopped_at=timezone.now() - timedelta(days=3, hours=4))
    assert plain(down_in_words(stopped)) == "3 d 4 h so far"


def test_a_closed_a_void_and_no_stoppage_are_not():
    now = timezone.now()
    closed = Repair(stopped_at=now - timedelta(hours=6), returned_at=now)
    assert plain(down_in_words(closed)) == "6 h"
    assert down_in_words(Repair(stopped_at=now, state=RepairState.VOID)) == "–"
    assert down_in_words(Repair()) == "–"
