import pytest

from analytics.life.data import LifeData
from analytics.life.errors import InvalidSample, TooFewFailures
from analytics.life.ranks import median_ranks


def test_ranks_of_a_complete_sample_count_up():
    ranks = median_ranks(LifeData([30, 10, 20], [1, 1, 1]))
    assert ranks.ages.tolist() == [10, 20, 30]
    assert ranks.adjusted_rank == pytest.approx([1, 2, 3])
    assert ranks.median_rank == pytest.approx([0.7 / 3.4, 0.5, 2.7 / 3.4])


def test_adjusted_ranks_of_a_mixed_sample():
    ranks = median_ranks(
        LifeData([2200, 3800, 4600, 5000, 6700, 7500], [1, 0, 1, 0, 1, 1])
    )
    assert ranks.adjusted_rank == pytest.approx([1, 2.2, 3.8, 5.4])
    assert ranks.median_rank == pytest.approx([0.109375, 0.296875, 0.546875, 0.796875])


def test_a_suspension_tied_with_a_failure_outlives_it():
    tied = median_ranks(LifeData([5, 5, 9], [0, 1, 1]))
    apart = median_ranks(LifeData([5.001, 5, 9], [0, 1, 1]))
    assert tied.adjusted_rank == pytest.approx(apart.adjusted_rank)


def test_refusals():
    with pytest.raises(TooFewFailures, match="nothing to rank"):
        median_ranks(LifeData([1.0], [False]))
    with pytest.raises(InvalidSample, match="entered late"):
        median_ranks(LifeData([1.0], [True], [0.5]))
