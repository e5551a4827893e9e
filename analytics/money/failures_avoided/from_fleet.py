"""Ratio of failures measured where the fleet already has the change."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from analytics.life.arrays import FloatArray
from analytics.life.pooling import checked_counts
from analytics.life.results import Interval
from analytics.money.errors import InvalidFigure, TooLittleData
from analytics.money.failures_avoided.pool import SEED, PoolRates, pool_rates
from analytics.money.failures_avoided.ratio import FailureRatio
from analytics.money.figures import checked_share

FEWEST_POOL = 8
FEWEST_TREATED = 2
FEWEST_EVENTS = 5
FEWEST_EXPECTED = 3.0
# Below this many failures of the unchanged after, they tell no trend.
FEWEST_TREND_EVENTS = 10


@dataclass(frozen=True, slots=True, eq=False)
class FleetCounts:
    """Failures of like positions before and after a day, one entry each.

    Parameters
    ----------
    before_events, after_events : array_like of int
        Failures, zero or more.
    before_exposures, after_exposures : array_like of float
        Time watched, above zero, one unit for all, such as years.
    """

    before_events: ArrayLike
    before_exposures: ArrayLike
    after_events: ArrayLike
    after_exposures: ArrayLike

    @property
    def before(self) -> tuple[FloatArray, FloatArray]:
        """Checked counts and exposures before."""
        return checked_counts(self.before_events, self.before_exposures)

    @property
    def after(self) -> tuple[FloatArray, FloatArray]:
        """Checked counts and exposures after, of the same positions.

        Raises
        ------
        InvalidFigure
            If their number differs from that before.
        """
        counts, times = checked_counts(self.after_events, self.after_exposures)
        if counts.size != self.before[0].size:
            raise InvalidFigure("Every position needs a count before and one after.")
        return counts, times


@dataclass(frozen=True, slots=True)
class FleetRatio:
    """Effect of a change measured in the fleet.

    Parameters
    ----------
    ratio : FailureRatio
        Corrected for regression to the mean, and for the trend of the
        untreated where `trend` is not None.
    raw_ratio : float or None
        Rate after over rate before of the treated, uncorrected: what a page
        must not promise. None without failures before.
    expected_after : float
        Failures that the treated would have had after, unchanged; trend not
        counted in.
    events_after : int
        Failures that they had.
    trend : float or None
        Failures of the untreated after over those expected of them; None if
        too few to tell.
    """

    ratio: FailureRatio
    raw_ratio: float | None
    expected_after: float
    events_after: int
    trend: float | None


def ratio_from_fleet(
    treated: FleetCounts, untreated: FleetCounts, confidence: float = 0.90
) -> FleetRatio:
    """Measure the effect of a change where the fleet already has it.

    Parameters
    ----------
    treated, untreated : FleetCounts
        Like positions with and without the change; after the same day for
        the untreated. Both before-counts make the pool.
    confidence : float, default 0.90
        Of the interval.

    Returns
    -------
    FleetRatio

    Raises
    ------
    InvalidFigure, InvalidSample
        If a count, an exposure or the confidence is out of range.
    TooLittleData
        If there are fewer than 2 treated or 8 positions in all, fewer than 5
        failures before in all, or fewer than 3 expected of the treated after.

    Notes
    -----
    Positions are changed when they look bad, and part of that is bad luck
    that would have passed by itself. Failures after are therefore set against
    those expected of each treated position from its own count drawn towards
    the pool (`pool_rates`). The untreated are treated alike; where they had
    at least 10 failures after, their ratio is divided out as the trend of
    all. The interval is simulated: rates before with the doubt about the
    pool, and a gamma rate after from its count and half an event.
    """
    confidence = checked_share(confidence)
    _enough(treated, untreated)
    changed = treated.before[0].size
    rates = _rates_before(treated, untreated)
    events, expected, drawn = _against_expected(rates, treated, slice(0, changed))
    if expected < FEWEST_EXPECTED:
        raise TooLittleData(
            f"Only {expected:.1f} failures were to be expected after the change, so "
            "none of them can be shown as avoided yet."
        )
    others, usual, other_drawn = _against_expected(
        rates, untreated, slice(changed, None)
    )
    trend = others / usual if others >= FEWEST_TREND_EVENTS else None
    if trend is not None:
        drawn = drawn / other_drawn
    half = 0.5 * (1.0 - confidence)
    low, median, high = np.quantile(drawn, [half, 0.5, 1.0 - half]).tolist()
    counts, times = treated.before
    before = float(counts.sum() / times.sum())
    after = events / float(treated.after[1].sum())
    return FleetRatio(
        ratio=FailureRatio(
            estimate=events / expected / (trend or 1.0),
            median=median,
            interval=Interval(low, high, confidence, "simulated, against the pool"),
            notes=_notes(events, expected, trend),
        ),
        raw_ratio=after / before if before else None,
        expected_after=expected,
        events_after=int(events),
        trend=trend,
    )


def _enough(treated: FleetCounts, untreated: FleetCounts) -> None:
    (counts, _), (other_counts, _) = treated.before, untreated.before
    if counts.size < FEWEST_TREATED:
        raise TooLittleData(
            f"{counts.size} changed position is too few; {FEWEST_TREATED} are needed."
        )
    pool = counts.size + other_counts.size
    if pool < FEWEST_POOL:
        raise TooLittleData(
            f"{pool} like positions are too few to tell bad pumps from bad luck; "
            f"{FEWEST_POOL} are needed."
        )
    events = int(counts.sum() + other_counts.sum())
    if events < FEWEST_EVENTS:
        raise TooLittleData(
            f"{events} failures before the change are too few; {FEWEST_EVENTS} are "
            "needed."
        )


def _rates_before(treated: FleetCounts, untreated: FleetCounts) -> PoolRates:
    """Return the rate of every position before, the treated first."""
    counts = np.concatenate([treated.before[0], untreated.before[0]])
    times = np.concatenate([treated.before[1], untreated.before[1]])
    return pool_rates(counts, times)


def _against_expected(
    rates: PoolRates, counts: FleetCounts, members: slice
) -> tuple[float, float, FloatArray]:
    """Return failures after, those expected unchanged, and draws of their ratio."""
    after, times = counts.after
    events = float(after.sum())
    unchanged = rates.drawn[:, members] @ times
    generator = np.random.default_rng([SEED, members.start])
    size = generator.gamma(events + 0.5, size=unchanged.size)
    return events, float(rates.mean[members] @ times), size / unchanged


def _notes(events: float, expected: float, trend: float | None) -> tuple[str, ...]:
    first = (
        f"{events:.0f} failures after the change, where {expected:.1f} were to be "
        "expected without it after allowing for bad luck before."
    )
    if trend is None:
        second = "Too few failures of unchanged positions to take out a trend of all."
    else:
        second = (
            f"Unchanged positions had {trend:.2f} times what was expected of them; "
            "that is taken out."
        )
    return first, second
