"""A numerical warning inside the statistics fails the test that provoked it."""

import warnings

import pytest


@pytest.mark.parametrize(
    "module", ["analytics.life", "analytics.life.mtbf", "analytics.life.weibull.solver"]
)
def test_a_numerical_warning_of_the_statistics_is_an_error(module):
    with pytest.raises(RuntimeWarning, match="overflow"):
        warnings.warn_explicit("overflow", RuntimeWarning, "any.py", 1, module)


@pytest.mark.parametrize("module", ["analytics.reports.life.report", "scipy.stats"])
def test_a_numerical_warning_of_other_code_is_none_of_ours(module):
    with warnings.catch_warnings(record=True) as seen:
        warnings.warn_explicit("overflow", RuntimeWarning, "any.py", 1, module)
    assert [str(one.message) for one in seen] == ["overflow"]
