"""What a worn pump wastes, measured against what it did as new."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import sqrt
from statistics import median

import numpy as np
from scipy import special

from analytics.life.arrays import FloatArray
from analytics.life.results import Estimate, Interval
from analytics.money.errors import DropNotClear, InvalidFigure, TooLittleData
from analytics.money.figures import (
    Amount,
    above_zero,
    checked_share,
    share_of_one,
    zero_or_more,
)
from analytics.money.pump_reading import FLOW_TOLERANCE, AsNew, PumpReading

FEWEST_READINGS = 3
HOURS_PER_YEAR = 8784.0


@dataclass(frozen=True, slots=True, eq=False)
class EfficiencyDrop:
    """Efficiency of a pump against as new, at one point.

    Parameters
    ----------
    flow_m3_h : float
        Mean flow of the readings used.
    as_new, now : float
        Mean efficiencies at the flows of the readings, shares of one.
    drop : Estimate
        As new less now; 0.03 is three points.
    excess_power_kw : Estimate
        Shaft power beyond what the pump as new would take for the same flow
        and head.
    used, left_out : tuple of int
        Places of the readings in the list given.
    """

    flow_m3_h: float
    as_new: float
    now: float
    drop: Estimate
    excess_power_kw: Estimate
    used: tuple[int, ...] = field(repr=False)
    left_out: tuple[int, ...] = field(repr=False)


def efficiency_drop(
    readings: Sequence[PumpReading],
    as_new: AsNew,
    flow_tolerance: Amount = FLOW_TOLERANCE,
    confidence: float = 0.90,
) -> EfficiencyDrop:
    """Measure the drop in efficiency from consistent readings.

    Parameters
    ----------
    readings : sequence of PumpReading
        Of one pump since its wear parts were last renewed.
    as_new : AsNew
        What to compare with.
    flow_tolerance : float, default 0.05
        Readings whose flow is further from the median of all, as a share of
        it, are of another point and left out.
    confidence : float, default 0.90
        Of the intervals.

    Returns
    -------
    EfficiencyDrop

    Raises
    ------
    InvalidFigure
        If a reading or a setting is out of range.
    TooLittleData
        If fewer than three readings are of one point, or the efficiency as
        new is not known there.
    DropNotClear
        If the drop is not larger than the standard deviation of the single
        drops: the readings are not consistent about it.

    Notes
    -----
    Student limits of the mean of the single drops.
    """
    confidence = checked_share(confidence)
    tolerance = share_of_one(flow_tolerance, "tolerance of flow")
    used = readings_of_one_point(readings, tolerance)
    chosen = [readings[place] for place in used]
    fresh = np.array([as_new.efficiency_at(reading.flow_m3_h) for reading in chosen])
    now = np.array([reading.efficiency for reading in chosen])
    drops = fresh - now
    mean, spread = float(drops.mean()), float(drops.std(ddof=1))
    if not mean > spread:
        raise DropNotClear(
            f"The mean drop of {100 * mean:.1f} points is not larger than the spread "
            f"of {100 * spread:.1f} points between the readings."
        )
    taken = np.array([reading.shaft_power_kw for reading in chosen])
    needed = np.array([reading.hydraulic_power_kw for reading in chosen]) / fresh
    return EfficiencyDrop(
        flow_m3_h=float(np.mean([reading.flow_m3_h for reading in chosen])),
        as_new=float(fresh.mean()),
        now=float(now.mean()),
        drop=mean_with_limits(drops, confidence),
        excess_power_kw=mean_with_limits(taken - needed, confidence),
        used=used,
        left_out=tuple(sorted(set(range(len(readings))) - set(used))),
    )


def yearly_cost_of_drop(
    drop: EfficiencyDrop,
    hours_per_year: Amount,
    price_per_kwh: Amount,
    motor_efficiency: Amount = 1.0,
) -> Estimate:
    """Price of the energy that the drop wastes.

    Parameters
    ----------
    drop : EfficiencyDrop
        Measured.
    hours_per_year : float
        Running hours, zero to 8784.
    price_per_kwh : float or Decimal
        Zero or more.
    motor_efficiency : float, default 1
        Share of one; drive included.

    Returns
    -------
    Estimate
        Money per year, limits from those of the power.

    Raises
    ------
    InvalidFigure
        If a number is out of range.
    """
    hours = zero_or_more(hours_per_year, "running hours per year")
    if hours > HOURS_PER_YEAR:
        raise InvalidFigure("A year has no more than 8784 hours.")
    price = zero_or_more(price_per_kwh, "price of energy")
    per_kw = hours * price / share_of_one(motor_efficiency, "motor efficiency")
    power, limits = drop.excess_power_kw, drop.excess_power_kw.interval
    return Estimate(
        power.value * per_kw,
        Interval(
            limits.low * per_kw, limits.high * per_kw, limits.confidence, limits.method
        ),
    )


def readings_of_one_point(
    readings: Sequence[PumpReading], tolerance: float = FLOW_TOLERANCE
) -> tuple[int, ...]:
    """Places of the readings whose flow lies near the median of all.

    Parameters
    ----------
    readings : sequence of PumpReading
        In any order.
    tolerance : float, default 0.05
        Distance from the median flow as a share of it.

    Returns
    -------
    tuple of int
        At least three places in the list given.

    Raises
    ------
    InvalidFigure
        If a flow is not above zero.
    TooLittleData
        If fewer than three readings are of one point.
    """
    flows = np.array([above_zero(reading.flow_m3_h, "flow") for reading in readings])
    middle = median(flows.tolist()) if flows.size else 0.0
    used = np.flatnonzero(np.abs(flows - middle) <= tolerance * middle)
    if used.size < FEWEST_READINGS:
        raise TooLittleData(
            f"{used.size} of {flows.size} readings are at one flow; "
            f"{FEWEST_READINGS} are needed to tell wear from the error of reading."
        )
    return tuple(used.tolist())


def mean_with_limits(values: FloatArray, confidence: float) -> Estimate:
    """Mean of two or more values with its Student limits.

    Parameters
    ----------
    values : array of float
        Two or more, in any unit.
    confidence : float
        Between 0 and 1.

    Returns
    -------
    Estimate
        In the unit of the values.
    """
    # A handful of numbers: a list is quicker than an array, and a fleet has thousands.
    each = values.tolist()
    mean = sum(each) / len(each)
    square = sum((value - mean) ** 2 for value in each) / (len(each) - 1)
    error = sqrt(square / len(each))
    reach = float(special.stdtrit(len(each) - 1, 0.5 * (1.0 + confidence))) * error
    return Estimate(mean, Interval(mean - reach, mean + reach, confidence, "Student"))
