import pytest

from analytics.life.results import Interval
from analytics.money.errors import InvalidFigure
from analytics.money.failures_avoided import FailureRatio

HALVED = FailureRatio(0.5, 0.52, Interval(0.2, 0.9, 0.9, "made up"), ("Two lives.",))


def test_it_becomes_an_uncertain_input_with_the_same_limits():
    quantity = HALVED.quantity
    assert quantity.best == 0.52
    assert quantity.quantile([0.05, 0.95]) == pytest.approx([0.2, 0.9])


def test_a_change_of_some_failures_leaves_the_others():
    whole = HALVED.of_all_failures(0.4)
    assert whole.estimate == pytest.approx(0.8)
    assert whole.interval.low == pytest.approx(0.68)
    assert whole.interval.high == pytest.approx(0.96)
    acts = "The change acts on 40\u00a0% of the failures."
    assert whole.notes == ("Two lives.", acts)


def test_a_change_of_all_failures_is_the_ratio_itself():
    assert HALVED.of_all_failures(1).interval.low == pytest.approx(0.2)


@pytest.mark.parametrize("share", [0, 1.2])
def test_a_share_out_of_range_is_refused(share):
    with pytest.raises(InvalidFigure, match="share of failures must"):
        HALVED.of_all_failures(share)
