import numpy as np
import pytest

from analytics.life.errors import InvalidSample
from analytics.life.recurrence import History
from analytics.life.recurrence.histories import as_histories, systems


@pytest.mark.parametrize(
    ("events", "end", "start", "message"),
    [
        ([5.0], 4.0, 0.0, "outside the time its unit was watched"),
        ([0.0], 4.0, 0.0, "outside the time its unit was watched"),
        ([1.0], 4.0, 2.0, "outside the time its unit was watched"),
        ([np.nan], 4.0, 0.0, "missing or infinite"),
        ([], 0.0, 0.0, "end of watching must be above zero"),
        ([], 4.0, 4.0, "must begin before its end"),
        ([], 4.0, -1.0, "beginning of watching must be zero or more"),
    ],
)
def test_impossible_histories_are_refused(events, end, start, message):
    with pytest.raises(InvalidSample, match=message):
        History(events, end, start)


def test_events_are_sorted_and_an_event_at_the_end_is_allowed():
    assert History([4.0, 1.0], 4.0).events.tolist() == [1.0, 4.0]


def test_no_unit_and_a_loose_number_are_refused():
    with pytest.raises(InvalidSample, match="no unit"):
        as_histories([])
    with pytest.raises(InvalidSample, match="pair of events and end"):
        as_histories([5.0])


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (([1.0], 2.0, "never"), "No truncation is called 'never'"),
        (([1.0], None, "time"), "end of watching is missing"),
        (([], None, "failure"), "has at least one"),
        (([1.0, 2.0], 3.0, "failure"), "ends at the last event"),
        (([[1.0]], [2.0], "failure"), "ends at the last event"),
        (([[1.0]], [2.0, 3.0], "time"), "There is 1 system but 2 ends"),
    ],
)
def test_arguments_that_do_not_belong_together(arguments, message):
    with pytest.raises(InvalidSample, match=message):
        systems(*arguments)


def test_a_tuple_may_hold_the_start_as_well():
    (history,) = as_histories([([3.0, 2.5], 5.0, 2.0)])
    assert (history.events.tolist(), history.start) == ([2.5, 3.0], 2.0)
    for odd in ([([1.0], 2.0, 0.0, 0.0)], 5.0, [None]):
        with pytest.raises(InvalidSample, match="pair of events|not a list"):
            as_histories(odd)


def test_no_system_at_all_is_said_so():
    with pytest.raises(InvalidSample, match="no unit to look at"):
        systems([], [], "time")
