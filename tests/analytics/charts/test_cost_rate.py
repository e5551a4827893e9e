"""The cost figure shows both policies and where the best age lies."""

import numpy as np

from analytics.charts.cost_rate import cost_rate

AGES = np.array([1.0, 2.0, 3.0])


def figure(best):
    return cost_rate(
        AGES,
        np.array([3.0, 1.0, 1.5]),
        np.array([3.1, 1.2, 1.4]),
        run_to_failure=2.0,
        best=best,
        unit="h",
    )


def test_both_policies_and_running_to_failure_are_drawn():
    lines = figure(None).data
    assert [list(line.y) for line in lines] == [
        [3.0, 1.0, 1.5],
        [3.1, 1.2, 1.4],
        [2.0, 2.0],
    ]
    assert len({line.line.dash for line in lines}) == 3


def test_the_best_age_is_marked_where_there_is_one():
    mark = figure((2.0, 1.0)).data[-1]
    assert (mark.name, mark.x, mark.y) == ("best age", (2.0,), (1.0,))


def test_the_axis_ends_where_the_curves_still_differ():
    assert figure(None).layout.yaxis.range == (0, 5.0)
