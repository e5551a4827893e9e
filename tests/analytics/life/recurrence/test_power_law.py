import numpy as np
import pytest
from scipy import optimize, stats

from analytics.life.errors import InvalidSample, NoSpread, TooFewFailures
from analytics.life.recurrence import power_law_fit


def drawn_events(generator, shape, expected, end):
    return end * generator.uniform(size=generator.poisson(expected)) ** (1 / shape)


def naive_fit(lists, ends):
    def loss(place):
        log_scale, log_shape = place
        shape = np.exp(log_shape)
        logs = sum(
            np.sum(log_scale + log_shape + (shape - 1) * np.log(events))
            for events in map(np.asarray, lists)
        )
        return np.exp(log_scale) * (np.asarray(ends) ** shape).sum() - logs

    answer = optimize.minimize(
        loss,
        [0.0, 0.0],
        method="Nelder-Mead",
        options={"xatol": 1e-10, "fatol": 1e-12, "maxiter": 4000},
    )
    return np.exp(answer.x)


def test_systems_with_unequal_ends_match_a_general_search():
    generator = np.random.default_rng(3)
    ends = [4.0, 7.0, 9.0, 10.0]
    lists = [drawn_events(generator, 1.6, 0.2 * end**1.6, end) for end in ends]
    fit = power_law_fit(lists, ends)
    scale, shape = naive_fit(lists, ends)
    assert (fit.scale, fit.shape) == pytest.approx((scale, shape), rel=1e-6)
    assert fit.intensity_now == pytest.approx(scale * shape * 10.0 ** (shape - 1))
    assert fit.shape in fit.shape_interval
    assert fit.mtbf_now in fit.mtbf_interval
    assert fit.systems == 4


def test_nearly_equal_ends_give_nearly_the_exact_answer():
    generator = np.random.default_rng(5)
    lists = [drawn_events(generator, 1.3, 15.0, 10.0) for _ in range(3)]
    equal = power_law_fit(lists, [10.0] * 3)
    unequal = power_law_fit(lists, [10.0, 10.0, 10.0 + 1e-9])
    assert unequal.shape == pytest.approx(equal.shape, rel=1e-6)
    assert unequal.mtbf_now == pytest.approx(equal.mtbf_now, rel=1e-6)
    assert unequal.shape_interval.low == pytest.approx(
        equal.shape_interval.low, rel=0.02
    )
    assert unequal.mtbf_interval.high == pytest.approx(
        equal.mtbf_interval.high, rel=0.06
    )


@pytest.mark.parametrize("truncation", ["time", "failure"])
def test_exact_limits_cover(truncation):
    generator = np.random.default_rng(7)
    shape, hits, present = 0.7, [], []
    for _ in range(1500):
        if truncation == "time":
            events, end = drawn_events(generator, shape, 8.0, 100.0), 100.0
            if events.size < 3:
                continue
            truth = 100.0 / (8.0 * shape)
        else:
            events = np.cumsum(generator.exponential(size=6)) ** (1 / shape)
            end, truth = None, events[-1] ** (1 - shape) / shape
        fit = power_law_fit(events, end, truncation)
        hits.append(shape in fit.shape_interval)
        present.append(truth in fit.mtbf_interval)
    assert np.mean(hits) == pytest.approx(0.90, abs=0.025)
    # Counts are whole numbers, so limits ended by time cover a little more.
    assert 0.88 < np.mean(present) < (0.97 if truncation == "time" else 0.92)


def test_the_corrected_shape_has_no_bias():
    generator = np.random.default_rng(8)
    for truncation, lost in (("time", 1), ("failure", 2)):
        shapes = []
        for _ in range(4000):
            events = np.cumsum(generator.exponential(size=7)) ** (1 / 1.5)
            end = None
            if truncation == "time":
                end = float(events[-1])
                events = events[:-1]
            fit = power_law_fit(events, end, truncation)
            shapes.append(fit.shape_unbiased)
            assert fit.shape_unbiased == pytest.approx(
                fit.shape * (fit.events - lost) / fit.events
            )
        # Ending at the seventh event leaves six free ones in either case.
        assert np.mean(shapes) == pytest.approx(1.5, rel=0.03)


def test_expected_events_meet_the_count_at_the_end():
    fit = power_law_fit([1.0, 2.0, 5.0, 9.0], 10.0)
    assert fit.expected_events(10.0) == pytest.approx(4.0)


def test_fit_test_rejects_events_in_a_lump_and_accepts_even_ones():
    lump = power_law_fit([5.0 + 0.01 * i for i in range(20)], 10.0)
    even = power_law_fit([0.5 * i for i in range(1, 21)], 10.25)
    assert lump.fit_p_value < 0.01
    assert even.fit_p_value > 0.2


def test_fit_test_holds_its_level():
    generator = np.random.default_rng(11)
    p_values = [
        power_law_fit(drawn_events(generator, 2.0, 20.0, 1.0), 1.0).fit_p_value
        for _ in range(400)
    ]
    assert np.mean(np.array(p_values) <= 0.10) == pytest.approx(0.10, abs=0.045)


def test_refusals():
    with pytest.raises(TooFewFailures, match="at least 3 events; there are 2"):
        power_law_fit([1.0, 2.0], 5.0)
    with pytest.raises(TooFewFailures, match="there is 1"):
        power_law_fit([1.0], 5.0)
    with pytest.raises(NoSpread, match="falls on the end"):
        power_law_fit([5.0, 5.0, 5.0], 5.0)
    with pytest.raises(InvalidSample, match="confidence"):
        power_law_fit([1.0, 2.0, 3.0], 5.0, confidence=0.0)
    with pytest.raises(InvalidSample, match="outside the time"):
        power_law_fit([1.0, 2.0, 6.0], 5.0)


EVENTS = [[4.3, 4.4, 10.2, 23.5], [0.1, 5.6, 18.6, 19.5, 24.2], [8.4, 32.5]]


def test_one_end_serves_for_all_systems():
    for end in (40, 40.0, np.float64(40.0)):
        fit = power_law_fit(EVENTS, end)
        assert fit == power_law_fit(EVENTS, [40.0] * 3)
        assert (fit.systems, fit.events) == (3, 11)


def test_systems_that_each_end_with_an_event():
    fit = power_law_fit(EVENTS, None, "failure")
    ends = [events[-1] for events in EVENTS]
    assert fit == power_law_fit(EVENTS, ends, "failure")
    scale, shape = naive_fit(EVENTS, ends)
    assert (fit.scale, fit.shape) == pytest.approx((scale, shape), rel=1e-6)
    total = sum(np.log(e[-1] / t) for e in EVENTS for t in e)
    assert fit.shape_unbiased == pytest.approx(7.0 / total)
    low, high = stats.chi2.ppf([0.05, 0.95], 16) / (2.0 * total)
    assert (fit.shape_interval.low, fit.shape_interval.high) == pytest.approx(
        (low, high)
    )
    assert any("present time between events" in words for words in fit.warnings)
    assert power_law_fit(EVENTS[1], None, "failure").warnings == ()


def test_systems_need_events_besides_those_that_ended_them():
    with pytest.raises(TooFewFailures, match="there is 1"):
        power_law_fit([[1.0], [2.0], [3.0, 4.0]], None, "failure")


def test_a_quarter_million_events_are_fitted_at_once():
    shares = (np.arange(250_000) + 0.5) / 250_000
    fit = power_law_fit(1000.0 * shares ** (1.0 / 1.3), 1000.0)
    assert fit.shape == pytest.approx(1.3, rel=1e-4)
    assert fit.fit_p_value > 0.9
    reach = stats.norm.ppf(0.95) * np.sqrt(2.0 / 250_000)
    assert np.log(fit.mtbf_interval.high / fit.mtbf_now) == pytest.approx(
        reach, rel=0.01
    )
