"""Rules about lives: short here, dying young, worn out at one age."""

from dataclasses import replace

import numpy as np
import pytest

from analytics.life.data import LifeData
from analytics.life.weibull import weibull_fit
from analytics.reports.story.costs import MeanCost, UsualCost
from analytics.reports.story.questions.lives import (
    PartFacts,
    dying_young,
    short_lives,
    wears_out,
)

PLANNED = MeanCost(repairs=12, repair=1_000.0, production=0.0)
DEAR = MeanCost(repairs=30, repair=9_000.0, production=0.0)
SHORT = PartFacts("Seal, S-1", early=8, early_expected=1.2, b10=2_000.0)


def fit_of(shape, size=40):
    """A fit to evenly spread quantiles of a Weibull life of 10,000 h."""
    share = (np.arange(size) + 0.5) / size
    ages = 10_000 * (-np.log1p(-share)) ** (1 / shape)
    return weibull_fit(LifeData(ages, np.ones(size, dtype=bool)))


def test_many_early_failures_ask_about_the_fitting():
    question = short_lives([SHORT])
    assert "fitting" in question.asks
    assert (
        "8 failures before 2,000\u00a0h, 1.2 were to be expected" in question.evidence
    )


@pytest.mark.parametrize(
    "ordinary",
    [
        replace(SHORT, early=2, early_expected=0.01),
        replace(SHORT, early=8, early_expected=6.0),
        replace(SHORT, early=3, early_expected=1.4),
    ],
)
def test_few_or_expected_early_failures_ask_nothing(ordinary):
    assert short_lives([ordinary]) is None


def test_a_shape_wholly_below_one_asks_about_fitting_and_start():
    question = dying_young("Seal", "S-1 elsewhere", fit_of(0.6), fit_of(0.6))
    assert "start-up" in question.asks
    assert "of 40 failures" in question.evidence


@pytest.mark.parametrize(("shape", "bar_worst"), [(1.0, 0.6), (0.6, 1.0), (0.6, None)])
def test_a_shape_of_about_one_or_below_it_by_one_position_does_not(shape, bar_worst):
    without = fit_of(bar_worst) if bar_worst else None
    assert dying_young("Seal", "S-1 elsewhere", fit_of(shape), without) is None


def test_wear_out_names_the_best_age_where_costs_are_known():
    cost = UsualCost("EUR", PLANNED, DEAR)
    question = wears_out("Seal", "S-1 elsewhere", fit_of(3.4), cost)
    # Nine times dearer to fail: the best age lies well before the characteristic life.
    age = float(
        question.asks.split("at about ")[1].split("\u00a0h")[0].replace(",", "")
    )
    assert 3_000 < age < 7_000
    assert "below running to failure" in question.evidence


def test_without_costs_wear_out_names_the_age_of_one_in_ten():
    question = wears_out("Seal", "S-1 elsewhere", fit_of(3.4), None)
    assert "before 5," in question.asks
    assert "Life page" in question.evidence


def test_costs_that_answer_with_no_leave_nothing_to_ask():
    cost = UsualCost("EUR", DEAR, DEAR)
    assert wears_out("Seal", "S-1 elsewhere", fit_of(3.4), cost) is None


@pytest.mark.parametrize(("shape", "size"), [(1.4, 40), (3.4, 10)])
def test_a_mild_shape_or_few_failures_ask_nothing(shape, size):
    assert wears_out("Seal", "S-1", fit_of(shape, size), None) is None
