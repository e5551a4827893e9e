import numpy as np
import pytest

from analytics.life.data import LifeData
from analytics.life.weibull import weibull_fit, weibull_fit_many
from analytics.life.weibull.bias import narrow_limits_warnings, outlasted, shape_bias
from tests.analytics.life.samples import SEAL_AGES, complete


@pytest.mark.parametrize(
    ("ages", "failed", "expected"),
    [
        ([1, 2, 3], [1, 1, 1], False),
        ([1, 2, 3, 3], [1, 1, 1, 0], False),
        ([1, 2, 3, 4], [1, 1, 1, 0], True),
        ([1, 2], [0, 0], True),
    ],
)
def test_a_suspension_beyond_the_failures_tells_the_plan(ages, failed, expected):
    assert outlasted(LifeData(ages, failed)) is expected


@pytest.mark.parametrize("n", [5, 10, 30])
def test_complete_samples_are_unbiased_after_correction(n):
    ages = np.random.default_rng(n).weibull(2.0, (3000, n))
    fits = weibull_fit_many([complete(row) for row in ages])
    assert fits.shape.mean() > 2.0 * (1.0 + 1.0 / n)
    corrected = fits.shape.mean() / shape_bias(n, n, cut_by_time=False)
    assert corrected == pytest.approx(2.0, rel=0.02)


@pytest.mark.parametrize("n", [5, 10])
def test_samples_ended_by_a_failure_are_nearly_unbiased_after_correction(n):
    ages = np.sort(np.random.default_rng(n).weibull(1.0, (3000, 4 * n)), axis=1)
    flags = np.arange(4 * n) < n
    fits = weibull_fit_many(
        [LifeData(np.minimum(row, row[n - 1]), flags) for row in ages]
    )
    corrected = fits.shape.mean() / shape_bias(n, 4 * n, cut_by_time=False)
    assert corrected == pytest.approx(1.0, abs=0.05)


def test_the_fit_carries_the_corrected_shape():
    fit = weibull_fit(complete(SEAL_AGES))
    assert fit.shape_unbiased == pytest.approx(fit.shape / (1.0 + 1.37 / 8.08))


@pytest.mark.parametrize(
    ("failures", "suspension", "method", "warned"),
    [
        (9, 99.0, "calibrated", False),
        (10, 99.0, "calibrated", True),
        (12, 99.0, "calibrated", False),
        (10, 10.0, "calibrated", True),
        (17, 17.0, "calibrated", True),
        (18, 18.0, "calibrated", False),
        (9, 99.0, "likelihood_ratio", True),
        (29, 99.0, "wald_log", True),
        (30, 99.0, "wald_log", False),
    ],
)
def test_limits_known_to_cover_too_little_carry_a_warning(
    failures, suspension, method, warned
):
    ages = [*range(1, failures + 1), suspension]
    lives = LifeData(ages, [True] * failures + [False])
    words = narrow_limits_warnings(lives, method)
    assert bool(words) is warned
    assert all("cover less often than stated" in sentence for sentence in words)


@pytest.mark.parametrize("entered", [0.0, 0.5])
@pytest.mark.parametrize("failures", [8, 9, 10, 11, 12, 13, 14, 15, 17, 18])
@pytest.mark.parametrize("cut", [0, 1])
def test_the_fit_warns_in_every_design_whose_plain_limits_are_too_narrow(
    failures, cut, entered
):
    """Complete or ended by a failure, watched from zero or entered late."""
    ages = [*range(1, failures + 1), *[failures] * cut * failures]
    flags = [True] * failures + [False] * cut * failures
    entries = [entered * (place % 2) for place in range(len(ages))]
    words = weibull_fit(LifeData(ages, flags, entries)).warnings
    narrow = [sentence for sentence in words if "too narrow" in sentence]
    assert bool(narrow) is (10 <= failures < 18)


@pytest.mark.parametrize(("failures", "warned"), [(9, False), (10, False)])
def test_half_cut_by_time_needs_no_warning(failures, warned):
    ages = [*range(1, failures + 1), *[failures + 1] * failures]
    lives = LifeData(ages, [True] * failures + [False] * failures)
    assert bool(narrow_limits_warnings(lives, "calibrated")) is warned
