import numpy as np
import pytest

from analytics.life.data import LifeData
from analytics.life.weibull import weibull_fit
from analytics.life.weibull.likelihood import life_sums
from analytics.life.weibull.power_curve import power_curve
from analytics.life.weibull.region import likelihood_region
from analytics.life.weibull.solver import solve
from tests.analytics.life.samples import complete, drawn

SAMPLES = {
    "three": complete([100, 130, 290]),
    "cut": drawn(7, 25, cut=1200.0),
    "late": drawn(8, 40, late=0.5),
    "ages of every size": complete(list(np.geomspace(1e-4, 1e6, 60))),
    "steep": drawn(9, 200, shape=30.0, cut=1000.0),
    "entered just before the end": LifeData(
        [100.0, 200.0, 300.0, 400.0],
        [True, True, True, True],
        entry_ages=[0.0, 199.99, 299.9, 0.0],
    ),
}
samples = pytest.mark.parametrize("lives", SAMPLES.values(), ids=SAMPLES)


def curve_and_sums(lives):
    sums = life_sums([lives])
    shape = float(solve(sums).shape[0])
    return power_curve(sums, shape), sums, shape


@samples
def test_curve_is_the_sum_of_the_powers(lives):
    curve, sums, shape = curve_and_sums(lives)
    # Those at 0.3, 1.6 and 9 times the shape lie beyond the curve.
    shapes = shape * np.array([0.3, 0.5, 0.77, 1.0, 1.31, 1.5, 1.6, 9.0])
    exact = [sums.powers(np.array([k]))[0] for k in shapes]
    assert curve.powers(shapes) == pytest.approx(exact, rel=1e-12)


@samples
def test_curve_has_the_slopes_of_the_sum(lives):
    curve, sums, shape = curve_and_sums(lives)
    shapes = shape * np.array([0.3, 0.5, 0.77, 1.0, 1.31, 1.5, 1.6, 9.0])
    exact = np.array([sums.powers_with_slopes(np.array([k])) for k in shapes])[:, :, 0]
    found = np.array(curve.powers_with_slopes(shapes)).T
    assert found == pytest.approx(exact, rel=1e-9, abs=1e-9)


@samples
def test_regions_of_many_drops_are_those_of_the_sums_one_by_one(lives):
    curve, sums, _shape = curve_and_sums(lives)
    solution = solve(sums)
    drops = np.array([0.4, 1.3527717, 4.0])
    many = likelihood_region(curve, solution.chosen(np.zeros(3, dtype=int)), drops)
    for drop, region in zip(drops, many.single(), strict=True):
        alone = likelihood_region(sums, solution, np.array([drop]))
        for one in ("shape", "log_rate", "shape_low", "shape_high"):
            expected = getattr(alone, one)
            assert getattr(region, one) == pytest.approx(expected, rel=1e-6, abs=1e-6)
        assert region.open_low[0] == alone.open_low[0]


@pytest.mark.parametrize("lives", [40, 4_000])
def test_band_over_many_ages_is_that_of_the_sums_age_by_age(lives):
    sample = drawn(11, lives, cut=1500.0, late=0.3)
    data = LifeData(
        sample.ages,
        sample.failed,
        sample.entry_ages,
        groups=[row // 3 for row in range(lives)],
    )
    fit = weibull_fit(data)
    ages = np.geomspace(20.0, 4000.0, 12)
    band = fit.band(ages)
    sums, solution = life_sums([data]), solve(life_sums([data]))
    for age, low, high in zip(ages, band.low, band.high, strict=True):
        log_hazard = fit.shape * np.log(age / fit.scale)
        gradient = np.array([log_hazard, -fit.shape])
        threshold = 2.705543454095404 * fit.limits.information.inflation(gradient, 0.9)
        region = likelihood_region(
            sums, solution, np.array([0.5 * np.round(threshold, 2)])
        )
        limits = region.log_hazard_limits(np.log(age) - sums.log_reference[0])
        expected = [-np.expm1(-np.exp(limit[0])) for limit in limits]
        assert (low, high) == pytest.approx(expected, rel=1e-9)


def test_band_of_one_age_is_that_of_many():
    fit = weibull_fit(drawn(12, 6, cut=1500.0))
    ages = np.array([30.0, 300.0, 3000.0])
    together = fit.band(ages)
    alone = [fit.band(np.array([age])) for age in ages]
    assert list(together.low) == pytest.approx([one.low[0] for one in alone])
    assert list(together.high) == pytest.approx([one.high[0] for one in alone])
