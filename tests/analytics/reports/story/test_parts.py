"""Lengths of lives beside others, and early failures that were to be expected."""

from types import SimpleNamespace

import numpy as np
import pandas as pd
import pytest

from analytics.life.data import LifeData
from analytics.life.weibull import weibull_fit
from analytics.reports.story.parts import Length, early_failures, length_of


@pytest.fixture(scope="module")
def others():
    share = (np.arange(60) + 0.5) / 60
    ages = 10_000 * (-np.log1p(-share)) ** (1 / 2.0)
    return weibull_fit(LifeData(ages, np.ones(60, dtype=bool)))


def test_short_and_long_are_the_outer_tenths_of_other_lives(others):
    low, high = (others.b_life(percent).value for percent in (10, 90))
    assert length_of(low * 0.99, others) is Length.SHORT
    assert length_of(low * 1.01, others) is Length.ORDINARY
    assert length_of(high * 1.01, others) is Length.LONG
    assert length_of(None, others) is None
    assert length_of(100.0, None) is None


def test_lives_that_did_not_fail_add_to_what_was_to_be_expected(others):
    b10 = others.b_life(10).value
    used = pd.DataFrame(
        {
            "age": [b10 * 5, b10 / 2, b10 * 2],
            "entry_age": [0.0, 0.0, b10 * 1.5],
            "status": ["suspended", "failed", "failed"],
        }
    )
    early, expected = early_failures(SimpleNamespace(used=used), others)
    # The cumulative hazard at the B10 age is -ln 0.9; the third was watched later only.
    whole = -np.log(0.9)
    assert early == 1
    assert expected == pytest.approx(whole + whole * 0.5**others.shape)


def test_without_a_life_of_others_nothing_is_expected():
    used = pd.DataFrame({"age": [], "entry_age": [], "status": []})
    assert early_failures(SimpleNamespace(used=used), None) == (0, 0.0)
