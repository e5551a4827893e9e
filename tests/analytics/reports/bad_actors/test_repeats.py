import pytest

from analytics.reports.bad_actors.facts import RepairFacts
from analytics.reports.bad_actors.repeats import Repeat, main_item, ordinal, repeat_of


def fact(day=1, *, mechanism="", item="", patterns=(), is_separate=True):
    return RepairFacts(day, True, is_separate, item, mechanism, patterns, False, 1)


def test_what_was_seen_at_teardown_comes_before_the_mechanism():
    facts = [fact(mechanism="Overheating", patterns=("Heat checks",))] * 3
    assert repeat_of(facts) == Repeat("Heat checks", 3, 3, is_latest=True)
    assert repeat_of(facts).in_words == (
        "its latest event is the third of 3 with heat checks"
    )


def test_a_mechanism_that_comes_back_much_more_often_speaks_instead():
    facts = [fact(mechanism="Vibration")] * 5
    facts += [fact(mechanism="Vibration", patterns=("Blisters",))] * 2
    assert repeat_of(facts).what == "Vibration"


def test_an_item_speaks_where_nothing_else_comes_back():
    facts = [fact(item="Mechanical seal"), fact(item="Mechanical seal")]
    assert repeat_of(facts).in_words == (
        "its latest event is the second of 2 with mechanical seal"
    )


def test_what_the_latest_event_does_not_show_is_counted_among_all():
    facts = [fact(mechanism="Wear"), fact(mechanism="Wear"), fact(mechanism="Fatigue")]
    assert repeat_of(facts).in_words == "2 of its 3 events were with wear"


def test_rework_is_no_repeat():
    facts = [fact(mechanism="Wear"), fact(mechanism="Wear", is_separate=False)]
    assert repeat_of(facts) is None


@pytest.mark.parametrize("facts", [[], [fact()], [fact(), fact()]])
def test_nothing_known_is_no_repeat(facts):
    assert repeat_of(facts) is None
    assert main_item(facts) is None


def test_the_main_item_is_that_of_most_separate_events():
    facts = [fact(item="Impeller"), fact(item="Casing"), fact(item="Casing")]
    assert main_item(facts) == ("Casing", 2)


@pytest.mark.parametrize(
    ("place", "word"), [(3, "third"), (11, "11th"), (21, "21st"), (112, "112th")]
)
def test_places_in_words(place, word):
    assert ordinal(place) == word
