"""The distribution of rates over those of the peers, found from all counts."""

import numpy as np
import pytest

from analytics.reports.bad_actors.relative_rates import chance_above


def fleet(events, exposures=None):
    counts = np.array(events)
    times = np.ones(counts.size) if exposures is None else np.array(exposures)
    return counts, np.full(counts.size, counts.sum()), times / (times.sum() - times)


def test_one_bad_unit_among_many_alike_is_surely_above():
    worse = chance_above(2.0, *fleet([12] + [1, 2, 1, 0] * 30))
    assert worse[0] > 0.99
    assert worse[1:].max() < 0.02


def test_alike_units_are_likely_not_above():
    rng = np.random.default_rng(1)
    assert chance_above(2.0, *fleet(rng.poisson(3.0, 160))).max() < 0.5


def test_several_bad_units_do_not_hide_each_other():
    rng = np.random.default_rng(2)
    events = np.concatenate([[9, 10, 11, 12, 13], rng.poisson(1.0, 155)])
    assert chance_above(2.0, *fleet(events))[:5].min() > 0.95


def test_a_wide_spread_is_told_from_a_few_bad_units():
    # Where rates spread smoothly, five times the mean is one of many and less sure.
    rng = np.random.default_rng(3)
    spread = rng.poisson(2 * rng.gamma(2.0, 0.5, 160))
    spread[0] = 6
    alike = rng.poisson(2.0, 160)
    alike[0] = 12
    assert chance_above(2.0, *fleet(alike))[0] > chance_above(2.0, *fleet(spread))[0]


def test_more_exposure_makes_the_same_count_less_bad():
    events = [6, 6] + [1] * 40
    worse = chance_above(2.0, *fleet(events, [1.0, 3.0] + [1.0] * 40))
    assert worse[0] > worse[1]


def test_its_answers_are_true_as_often_as_they_say():
    # Of all units of fleets with a smooth spread, sorted into those thought sure.
    rng = np.random.default_rng(4)
    sure, true = [], []
    for _ in range(60):
        rates = rng.gamma(2.0, 0.5, 160)
        counts, totals, odds = fleet(rng.poisson(4 * rates))
        sure.append(chance_above(2.0, counts, totals, odds))
        true.append(rates >= 2 * (rates.sum() - rates) / 159)
    sure, true = np.concatenate(sure), np.concatenate(true)
    for low, high in ((0.0, 0.1), (0.1, 0.5), (0.5, 0.8), (0.8, 1.0)):
        those = (sure >= low) & (sure < high)
        assert those.sum() > 50
        assert true[those].mean() == pytest.approx(sure[those].mean(), abs=0.1)
