import numpy as np
import pytest

from analytics.life.data import LifeData
from analytics.life.renewal import renewal_function
from analytics.life.weibull import weibull_fit, weibull_fit_fixed_shape
from analytics.money.errors import InvalidFigure, TooLittleData
from analytics.money.failures_avoided import ratio_from_lives
from tests.analytics.life.samples import drawn

OLD = weibull_fit(drawn(1, 25, shape=1.4, scale=9_000))
NEW = weibull_fit(drawn(2, 25, shape=1.4, scale=18_000))


def test_long_run_ratio_is_that_of_the_mean_lives():
    ratio = ratio_from_lives(OLD, NEW)
    assert ratio.estimate == pytest.approx(OLD.mean / NEW.mean)
    assert ratio.median == ratio.estimate
    assert ratio.interval.low < ratio.estimate < ratio.interval.high
    assert ratio.notes == ("From 25 failures before and 25 after, in the long run.",)


def test_horizon_ratio_is_that_of_the_renewals():
    ratio = ratio_from_lives(OLD, NEW, horizon=20_000)
    after = renewal_function(NEW.shape, NEW.scale, 20_000)[0]
    before = renewal_function(OLD.shape, OLD.scale, 20_000)[0]
    assert ratio.estimate == pytest.approx(after / before)
    assert ratio.interval.low < ratio.estimate < ratio.interval.high


def test_a_long_horizon_is_the_long_run():
    far, ever = ratio_from_lives(OLD, NEW, 3_000_000), ratio_from_lives(OLD, NEW)
    assert far.estimate == pytest.approx(ever.estimate, rel=0.01)
    assert far.interval.low == pytest.approx(ever.interval.low, rel=0.01)
    assert far.interval.high == pytest.approx(ever.interval.high, rel=0.01)


def test_swapping_the_lives_turns_the_ratio_over():
    one, other = ratio_from_lives(OLD, NEW), ratio_from_lives(NEW, OLD)
    assert one.estimate * other.estimate == pytest.approx(1)
    assert one.interval.low * other.interval.high == pytest.approx(1)
    assert one.interval.high * other.interval.low == pytest.approx(1)


def test_the_interval_holds_the_truth_about_as_often_as_it_says():
    """True ratio 0.5, from six lives on either side; 90 % of 60 are 54."""
    held = 0
    for seed in range(60):
        old = weibull_fit(drawn(1000 + seed, 6, shape=1.5, scale=1000))
        new = weibull_fit(drawn(5000 + seed, 6, shape=1.5, scale=2000))
        held += 0.5 in ratio_from_lives(old, new).interval
    assert 48 <= held <= 60


def test_more_failures_narrow_the_interval():
    many_old = weibull_fit(drawn(3, 400, shape=1.4, scale=9_000))
    many_new = weibull_fit(drawn(4, 400, shape=1.4, scale=18_000))
    wide, narrow = ratio_from_lives(OLD, NEW), ratio_from_lives(many_old, many_new)
    assert np.log(narrow.interval.high / narrow.interval.low) < 0.4 * np.log(
        wide.interval.high / wide.interval.low
    )


def test_fits_with_a_known_shape_are_taken_too():
    old = weibull_fit_fixed_shape(drawn(5, 8, shape=2.0), 2.0)
    new = weibull_fit_fixed_shape(drawn(6, 8, shape=2.0, scale=3000.0), 2.0)
    ratio = ratio_from_lives(old, new)
    assert ratio.estimate == pytest.approx(old.scale / new.scale)
    assert ratio.interval.low < ratio.estimate < ratio.interval.high
    assert ratio.quantity.quantile(0.95) == pytest.approx(ratio.interval.high)


def test_refusals_are_sentences():
    few = weibull_fit_fixed_shape(LifeData([10.0, 20.0], [True, True]), 2.0)
    none = weibull_fit_fixed_shape(LifeData([10.0], [False]), 2.0)
    days = weibull_fit(LifeData([10.0, 20.0, 30.0], [True] * 3, unit="days"))
    with pytest.raises(TooLittleData, match="A life with 2 failures says too little"):
        ratio_from_lives(OLD, few)
    with pytest.raises(TooLittleData, match="A life with 0 failures"):
        ratio_from_lives(none, NEW)
    with pytest.raises(InvalidFigure, match="the other in days"):
        ratio_from_lives(OLD, days)
    with pytest.raises(InvalidFigure, match="horizon must be above zero"):
        ratio_from_lives(OLD, NEW, 0)
    with pytest.raises(InvalidFigure, match="fitted with another confidence"):
        ratio_from_lives(OLD, NEW, confidence=0.95)
