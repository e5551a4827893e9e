import numpy as np
import pytest

from analytics.life.errors import InvalidSample
from analytics.money.errors import InvalidFigure, TooLittleData
from analytics.money.failures_avoided import FleetCounts, ratio_from_fleet


def fleet(seed, positions=60, treated=6, effect=1.0, trend=1.0):
    """A fleet whose worst positions by three years' count were changed."""
    rng = np.random.default_rng(seed)
    rates = rng.gamma(3, 0.2, positions)
    before = rng.poisson(3 * rates)
    worst = np.zeros(positions, dtype=bool)
    worst[np.argsort(-before, kind="stable")[:treated]] = True
    after = rng.poisson(3 * rates * trend * np.where(worst, effect, 1))
    threes = np.full(positions, 3.0)

    def counts(members):
        return FleetCounts(
            before[members], threes[members], after[members], threes[members]
        )

    return counts(worst), counts(~worst)


def test_a_change_that_does_nothing_looks_good_only_uncorrected():
    results = [ratio_from_fleet(*fleet(seed)) for seed in range(12)]
    raw = np.mean([result.raw_ratio for result in results])
    corrected = np.mean([result.ratio.estimate for result in results])
    assert raw < 0.75
    assert corrected == pytest.approx(1.0, abs=0.2)
    assert sum(1.0 in result.ratio.interval for result in results) >= 9


def test_an_effect_is_found_also_under_a_trend_of_all():
    results = [
        ratio_from_fleet(*fleet(seed, effect=0.5, trend=0.7)) for seed in range(12)
    ]
    corrected = np.mean([result.ratio.estimate for result in results])
    assert corrected == pytest.approx(0.5, abs=0.1)
    assert np.mean([result.trend for result in results]) == pytest.approx(0.7, abs=0.1)
    assert sum(0.5 in result.ratio.interval for result in results) >= 9


@pytest.mark.parametrize("effect", [1.0, 0.5])
def test_true_bad_actors_are_measured_as_they_are(effect):
    """Four of eighty are 4 to 8 times worse; changed are the five with most failures.

    With one gamma for all the mean was 1.54 where nothing changed and 0.78 where
    failures were halved, and half of the intervals missed the truth.
    """
    results = [
        ratio_from_fleet(*with_bad_actors(seed, effect)).ratio for seed in range(20)
    ]
    mean = np.mean([ratio.estimate for ratio in results])
    assert mean == pytest.approx(1.15 * effect, rel=0.15)
    held = [ratio.interval.low <= effect <= ratio.interval.high for ratio in results]
    assert sum(held) >= 16


def with_bad_actors(seed, effect, years=(3.0, 2.0)):
    rng = np.random.default_rng(seed)
    rates = 0.6 * rng.gamma(1 / 0.3**2, 0.3**2, 80)
    rates[:4] *= [4, 5, 6, 8]
    before = rng.poisson(rates * years[0])
    changed = np.zeros(80, dtype=bool)
    changed[np.argsort(-before, kind="stable")[:5]] = True
    after = rng.poisson(rates * np.where(changed, effect, 1.0) * years[1])

    def counts(chosen):
        spans = [np.full(chosen.sum(), span) for span in years]
        return FleetCounts(before[chosen], spans[0], after[chosen], spans[1])

    return counts(changed), counts(~changed)


def test_result_tells_what_it_was_found_from():
    treated, untreated = fleet(3, effect=0.5)
    result = ratio_from_fleet(treated, untreated)
    assert result.events_after == sum(treated.after_events)
    assert result.raw_ratio == pytest.approx(
        sum(treated.after_events) / sum(treated.before_events)
    )
    assert result.expected_after < sum(treated.before_events)
    assert f"{result.events_after} failures after the change" in result.ratio.notes[0]
    assert "that is taken out" in result.ratio.notes[1]
    expected = result.events_after / result.expected_after / result.trend
    assert result.ratio.estimate == pytest.approx(expected)
    assert result.ratio.quantity.best == result.ratio.median


def test_no_failure_after_the_change_is_no_promise_of_none():
    treated, untreated = fleet(3)
    clean = FleetCounts(
        treated.before_events,
        treated.before_exposures,
        [0] * 6,
        treated.after_exposures,
    )
    ratio = ratio_from_fleet(clean, untreated).ratio
    assert ratio.estimate == 0
    assert 0 < ratio.interval.low < ratio.median < ratio.interval.high < 1


def test_without_failures_of_the_unchanged_no_trend_is_taken_out():
    treated, untreated = fleet(3)
    quiet = FleetCounts(
        untreated.before_events,
        untreated.before_exposures,
        [0] * 54,
        [0.01] * 54,
    )
    result = ratio_from_fleet(treated, quiet)
    assert result.trend is None
    assert "Too few failures of unchanged positions" in result.ratio.notes[1]


def test_same_counts_same_answer():
    assert ratio_from_fleet(*fleet(3)) == ratio_from_fleet(*fleet(3))


def alike(positions, events, exposure=1.0, after=1):
    return FleetCounts(
        [events] * positions,
        [exposure] * positions,
        [after] * positions,
        [exposure] * positions,
    )


BRIEF = FleetCounts([3, 3], [1, 1], [0, 0], [0.2, 0.2])


@pytest.mark.parametrize(
    ("treated", "untreated", "error", "sentence"),
    [
        (alike(1, 5), alike(9, 1), TooLittleData, "1 changed position is too few"),
        (alike(2, 5), alike(5, 1), TooLittleData, "7 like positions are too few"),
        (alike(2, 1), alike(9, 0), TooLittleData, "2 failures before the change"),
        (BRIEF, alike(9, 0, 9), TooLittleData, "failures were to be exp"),
        (alike(3, -1), alike(9, 1), InvalidSample, "Every count must be a whole"),
        (
            FleetCounts([1, 2], [1, 1], [1], [1]),
            alike(9, 1),
            InvalidFigure,
            "a count before and one after",
        ),
    ],
)
def test_refusals_are_sentences(treated, untreated, error, sentence):
    with pytest.raises(error, match=sentence):
        ratio_from_fleet(treated, untreated)


def test_confidence_out_of_range_is_refused():
    with pytest.raises(InvalidFigure, match="confidence must lie between"):
        ratio_from_fleet(*fleet(3), confidence=1)
