import pytest
from scipy import stats

from analytics.reports.bad_actors.starting import StartCounts, start_failures


def test_a_standby_unit_that_mostly_dies_on_starting_is_found():
    found = start_failures(StartCounts({1: (5, 6), 2: (0, 9), 3: (1, 12), 4: (0, 0)}))
    assert [row.key for row in found] == [1, 3, 2]
    assert [row.dies_on_starting for row in found] == [True, False, False]
    assert found[0].in_words == (
        "5 of 6 failures on starting; other standby units 1 of 21"
    )
    table = [[5, 1], [1, 20]]
    assert found[0].p_value == pytest.approx(
        stats.fisher_exact(table, alternative="greater").pvalue
    )


def test_with_few_failures_on_standby_the_running_units_are_taken_as_well():
    (found,) = start_failures(StartCounts({1: (3, 4)}, rest=(2, 60)))
    assert found.against_all
    assert (found.others_on_starting, found.others_failures) == (2, 60)
    assert found.dies_on_starting


def test_one_start_that_failed_is_no_habit():
    (found,) = start_failures(StartCounts({1: (1, 1)}, rest=(0, 200)))
    assert found.adjusted < 0.05
    assert not found.dies_on_starting


def test_where_all_units_die_on_starting_none_stands_out():
    found = start_failures(StartCounts(dict.fromkeys(range(6), (3, 4))))
    assert not any(row.dies_on_starting for row in found)


def test_without_failures_there_is_nothing_to_judge():
    assert start_failures(StartCounts({1: (0, 0)}, rest=(3, 9))) == ()
