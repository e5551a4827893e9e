import numpy as np
import pytest
from scipy import stats

from analytics.life.data import LifeData
from analytics.life.distributions import compare_distributions
from analytics.life.errors import NoSpread, TooFewFailures
from tests.analytics.life.samples import SEAL_AGES, complete, drawn


def by_name(comparison):
    return {candidate.name: candidate for candidate in comparison.candidates}


def test_agrees_with_the_reliability_library():
    from reliability.Fitters import (
        Fit_Exponential_1P,
        Fit_Gamma_2P,
        Fit_Lognormal_2P,
        Fit_Weibull_2P,
    )

    lives = drawn(4, 60, shape=1.7, cut=1100.0)
    found = by_name(compare_distributions(lives))
    quiet = {"show_probability_plot": False, "print_results": False}
    for name, fitter in (
        ("Weibull", Fit_Weibull_2P),
        ("lognormal", Fit_Lognormal_2P),
        ("gamma", Fit_Gamma_2P),
        ("exponential", Fit_Exponential_1P),
    ):
        reference = fitter(
            failures=lives.ages[lives.failed],
            right_censored=lives.ages[~lives.failed],
            **quiet,
        )
        # The library stops a little short of the top.
        assert found[name].log_likelihood >= reference.loglik - 1e-6
        assert found[name].log_likelihood == pytest.approx(reference.loglik, abs=0.02)
        assert found[name].aicc == pytest.approx(reference.AICc, abs=0.04)


def test_complete_samples_agree_with_scipy():
    ages = np.array(SEAL_AGES, dtype=float)
    found = by_name(compare_distributions(complete(ages)))
    logs = np.log(ages)
    lognormal = stats.lognorm.logpdf(ages, logs.std(), scale=np.exp(logs.mean()))
    assert found["lognormal"].log_likelihood == pytest.approx(lognormal.sum())
    assert found["lognormal"].parameters["median"] == pytest.approx(
        np.exp(logs.mean()), rel=1e-6
    )
    shape, _, scale = stats.gamma.fit(ages, floc=0)
    assert found["gamma"].parameters["shape"] == pytest.approx(shape, rel=1e-4)
    assert found["gamma"].parameters["scale"] == pytest.approx(scale, rel=1e-4)
    assert found["exponential"].parameters["scale"] == pytest.approx(26_290.0)


def test_late_entry_is_allowed_for_in_every_candidate():
    generator = np.random.default_rng(2)
    ages = generator.lognormal(7.0, 0.8, 3000)
    entries = generator.uniform(0, 1500, 3000)
    seen = ages > entries
    lives = LifeData(ages[seen], np.ones(seen.sum(), bool), entries[seen])
    comparison = compare_distributions(lives)
    assert comparison.best.name == "lognormal"
    assert comparison.distinguishable
    assert comparison.verdict == "The lognormal fits clearly best."
    assert comparison.best.parameters["median"] == pytest.approx(np.exp(7.0), rel=0.06)


def test_ten_seals_cannot_tell():
    comparison = compare_distributions(complete(SEAL_AGES))
    assert not comparison.distinguishable
    assert comparison.verdict == (
        "The data cannot tell Weibull, gamma and lognormal apart."
    )
    assert comparison.candidates[-1].name == "exponential"
    assert sum(c.weight for c in comparison.candidates) == pytest.approx(1.0)
    differences = [c.difference for c in comparison.candidates]
    assert differences == sorted(differences)
    assert differences[0] == 0.0


def test_three_failures_name_no_winner():
    comparison = compare_distributions(complete([10.0, 11.0, 14.0]))
    assert not comparison.distinguishable
    assert "Below 5 failures" in comparison.verdict


def test_scaling_ages_changes_no_difference():
    plain = compare_distributions(complete(SEAL_AGES))
    scaled = compare_distributions(complete([1e-3 * age for age in SEAL_AGES]))
    assert [c.difference for c in scaled.candidates] == pytest.approx(
        [c.difference for c in plain.candidates], abs=1e-5
    )


def test_refusals():
    with pytest.raises(TooFewFailures, match="this sample has 2"):
        compare_distributions(LifeData([1, 2, 3], [1, 1, 0]))
    with pytest.raises(NoSpread, match="no distribution can be chosen"):
        compare_distributions(complete([4, 4, 4, 4]))
