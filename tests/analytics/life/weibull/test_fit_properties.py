import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from analytics.life.data import LifeData
from analytics.life.errors import DidNotConverge, NoMaximum
from analytics.life.weibull import weibull_fit, weibull_fit_fixed_shape

LIVES = st.lists(
    st.tuples(st.floats(1.0, 1e4), st.booleans()), min_size=5, max_size=30
).filter(
    lambda rows: (
        sum(failed for _, failed in rows) >= 3
        and len({round(age, 3) for age, failed in rows if failed}) >= 3
    )
)


def sample_of(rows, factor=1.0):
    return LifeData([factor * age for age, _ in rows], [failed for _, failed in rows])


@given(LIVES, st.floats(1e-3, 1e3))
@settings(deadline=None, max_examples=60)
def test_scaling_ages_scales_the_scale_only(rows, factor):
    fit, scaled = (
        weibull_fit(sample_of(rows, by), intervals="wald_log") for by in (1.0, factor)
    )
    assert scaled.shape == pytest.approx(fit.shape, rel=1e-7)
    assert np.log(scaled.scale / fit.scale / factor) == pytest.approx(0.0, abs=1e-7)


@given(LIVES, st.floats(1.0, 2e4))
@settings(deadline=None, max_examples=60)
def test_a_suspension_added_never_lowers_the_scale_of_a_known_shape(rows, age):
    """The free scale can fall with the shape; at one shape it cannot."""
    before = weibull_fit_fixed_shape(sample_of(rows), 1.7)
    after = weibull_fit_fixed_shape(sample_of([*rows, (age, False)]), 1.7)
    assert after.scale >= before.scale * (1.0 - 1e-12)


@given(LIVES, st.floats(1.0, 5.0))
@settings(deadline=None, max_examples=60)
def test_a_suspension_that_outlasts_all_never_lowers_the_scale(rows, factor):
    """An early suspension can: it moves the free shape as well."""
    longest = max(age for age, _ in rows)
    before = weibull_fit(sample_of(rows), intervals="wald_log")
    longer = [*rows, (longest * factor, False)]
    after = weibull_fit(sample_of(longer), intervals="wald_log")
    assert after.scale >= before.scale * (1.0 - 1e-9)


@given(LIVES, st.randoms())
@settings(deadline=None, max_examples=60)
def test_order_does_not_matter(rows, random):
    mixed = list(rows)
    random.shuffle(mixed)
    fit, again = (
        weibull_fit(sample_of(lives), intervals="likelihood_ratio")
        for lives in (rows, mixed)
    )
    assert again.shape == pytest.approx(fit.shape, rel=1e-9)
    assert again.shape_interval.high == pytest.approx(fit.shape_interval.high, rel=1e-6)


LATE_LIVES = st.lists(
    st.tuples(st.floats(1.0, 1e4), st.booleans(), st.floats(0.0, 0.95)),
    min_size=6,
    max_size=30,
).filter(
    lambda rows: (
        len({round(age, 3) for age, failed, _ in rows if failed}) >= 3
        and sum(share < 0.05 for *_, share in rows) >= 3
    )
)


def late_sample(rows, factor=1.0):
    return LifeData(
        [factor * age for age, *_ in rows],
        [failed for _, failed, _ in rows],
        [factor * age * share for age, _, share in rows],
    )


def late_fit(rows, factor=1.0):
    """Fit, or None where late entry leaves no maximum."""
    try:
        return weibull_fit(late_sample(rows, factor), intervals="wald_log")
    except (NoMaximum, DidNotConverge) as refusal:
        return type(refusal)


@given(LATE_LIVES, st.floats(1e-3, 1e3))
@settings(deadline=None, max_examples=60)
def test_scaling_ages_and_entries_scales_the_scale_only(rows, factor):
    fit, scaled = late_fit(rows), late_fit(rows, factor)
    if isinstance(fit, type):
        assert scaled is fit
        return
    assert scaled.shape == pytest.approx(fit.shape, rel=1e-6)
    assert np.log(scaled.scale / fit.scale / factor) == pytest.approx(0.0, abs=1e-6)


@given(LATE_LIVES, st.randoms())
@settings(deadline=None, max_examples=60)
def test_order_does_not_matter_with_late_entry(rows, random):
    mixed = list(rows)
    random.shuffle(mixed)
    fit, again = late_fit(rows), late_fit(mixed)
    if isinstance(fit, type):
        assert again is fit
        return
    assert again.shape == pytest.approx(fit.shape, rel=1e-7)


@given(LATE_LIVES, st.floats(1.0, 2e4), st.floats(0.0, 0.95))
@settings(deadline=None, max_examples=60)
def test_a_late_suspension_never_lowers_the_scale_of_a_known_shape(rows, age, share):
    before = weibull_fit_fixed_shape(late_sample(rows), 1.7)
    after = weibull_fit_fixed_shape(late_sample([*rows, (age, False, share)]), 1.7)
    assert after.scale >= before.scale * (1.0 - 1e-12)


@given(LATE_LIVES)
@settings(deadline=None, max_examples=60)
def test_a_life_cut_in_two_at_any_age_is_the_same_life(rows):
    """Watched to an age, then entered at it: ties and entries are exact."""
    parts = []
    for age, failed, share in rows:
        middle = age * (0.5 + 0.5 * share)
        parts += [(middle, False, share * age / middle), (age, failed, middle / age)]
    fit, again = late_fit(rows), late_fit(parts)
    if isinstance(fit, type):
        return
    assert again.shape == pytest.approx(fit.shape, rel=1e-5)
    assert again.scale == pytest.approx(fit.scale, rel=1e-4)
