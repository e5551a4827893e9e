import numpy as np
import pytest

from analytics.life.data import LifeData
from analytics.life.errors import InvalidSample, LifeError


@pytest.mark.parametrize(
    ("ages", "failed", "entries", "message"),
    [
        ([], [], None, "The sample is empty."),
        ([1.0, 0.0], [1, 1], None, "Every age must be above zero."),
        ([1.0, -2.0], [1, 1], None, "Every age must be above zero."),
        ([1.0, np.nan], [1, 1], None, "The ages hold a missing or infinite value."),
        ([1.0, np.inf], [1, 1], None, "The ages hold a missing or infinite value."),
        (["a", "b"], [1, 1], None, "The ages are not all numbers."),
        ([[1.0], [2.0]], [1, 1], None, "The ages are not one plain list."),
        ([1.0, 2.0], [1], None, "There are 2 ages but 1 failed flags."),
        (
            [1.0, 2.0],
            [1, 2],
            None,
            "The failed flags hold a value that is neither yes nor no.",
        ),
        (
            [1.0, 2.0],
            [1, np.nan],
            None,
            "The failed flags hold a missing or infinite value.",
        ),
        ([1.0, 2.0], [1, 1], [0.0], "There are 2 ages but 1 entry ages."),
        ([1.0, 2.0], [1, 1], [-1.0, 0.0], "No entry age may be negative."),
        (
            [1.0, 2.0],
            [1, 1],
            [1.0, 0.0],
            "Every entry age must lie below the age at the end.",
        ),
    ],
)
def test_bad_samples_are_refused_in_words(ages, failed, entries, message):
    with pytest.raises(InvalidSample, match="^" + message.replace(".", r"\.") + "$"):
        LifeData(ages, failed, entries)


def test_refusals_belong_to_the_family_and_are_value_errors():
    assert issubclass(InvalidSample, LifeError)
    assert issubclass(InvalidSample, ValueError)


def test_blank_unit_is_refused():
    with pytest.raises(InvalidSample, match="The ages have no unit"):
        LifeData([1.0], [True], unit=" ")


def test_group_labels_must_match_the_ages():
    with pytest.raises(InvalidSample, match="There are 2 ages but 1 group labels"):
        LifeData([1.0, 2.0], [True, True], groups=["P-1"])


def test_counts_failures_suspensions_and_positions():
    lives = LifeData([3, 4, 5], [True, False, True], groups=["P-1", "P-2", "P-1"])
    assert (lives.n, lives.failures, lives.suspensions) == (3, 2, 1)
    assert lives.clusters == 2
    assert LifeData([3, 4], [1, 0]).clusters == 2


def test_a_sample_cannot_be_changed_afterwards():
    ages = np.array([1.0, 2.0])
    lives = LifeData(ages, [True, True])
    ages[0] = 99.0
    assert lives.ages[0] == 1.0
    with pytest.raises(ValueError, match="read-only"):
        lives.ages[0] = 5.0


def test_zero_entry_ages_mean_watched_from_the_beginning():
    assert LifeData([1.0, 2.0], [1, 1], [0.0, 0.0]).entry_ages is None
    assert LifeData([1.0, 2.0], [1, 1], [0.0, 1.0]).entries.tolist() == [0.0, 1.0]


@pytest.mark.parametrize("age", [1e-9, 1e9])
def test_ages_beyond_belief_carry_a_warning(age):
    assert "check the unit" in LifeData([age, 100.0], [1, 1]).warnings[0]
    assert LifeData([5.0, 100.0], [1, 1]).warnings == ()


def test_an_entry_that_is_next_to_nothing_is_none():
    lives = LifeData([1.0, 2.0, 3.0], [1, 1, 1], [5e-324, 0.0, 0.0])
    assert lives.entry_ages is None


@pytest.mark.parametrize("groups", [5, [["a"], ["b"], ["c"]]])
def test_labels_that_are_no_labels_are_refused(groups):
    with pytest.raises(InvalidSample, match="group labels"):
        LifeData([1.0, 2.0, 3.0], [1, 1, 1], groups=groups)
