"""Efficiency now against as new, and what may be said about the difference."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import partial

import numpy as np
from django.db import models

from analytics.life.results import Estimate
from analytics.money.energy import (
    FEWEST_READINGS,
    EfficiencyDrop,
    efficiency_drop,
    mean_with_limits,
    readings_of_one_point,
)
from analytics.money.errors import DropNotClear, MoneyError, TooLittleData
from analytics.money.pump_reading import AsNew, PumpReading
from analytics.reports.energy.as_new import KnownAsNew
from analytics.reports.energy.series import LeftOut, PumpSeries
from plant.display import NO_BREAK_SPACE, count, fixed
from records.selectors.hydraulic_readings import HydraulicRound

# Of good electric motors of some ten kilowatts near full load: common practice.
USUAL_MOTOR_EFFICIENCY = 0.93
# Flow, pressure and power meters of a plant together: common practice.
METER_ERROR = 0.05
NO_DENSITY = (
    "The density of the liquid is not recorded at this position, and without it head "
    "and flow do not tell the power given to the liquid."
)
WITHIN_SPREAD = "The mean drop is no larger than the spread between the rounds."
BETTER = (
    "The pump reads better than as new: look at the meters, at the density and at the "
    "figures as new. A rated power that is the motor's own makes as new look too low."
)


class Verdict(models.TextChoices):
    """What the readings say, in words of a column."""

    WORN = "worn", "Wear shows"
    SMALL = "small", "Drop within meter error"
    NOT_CLEAR = "not clear", "No drop to be told"
    BETTER = "better", "Reads better than as new"
    NO_FIGURE = "no figure", "No figure"


@dataclass(frozen=True, slots=True)
class UsedRound:
    """A round with the efficiency that it shows, and that as new at its flow."""

    round: HydraulicRound
    reading: PumpReading
    efficiency: float
    as_new: float | None


@dataclass(frozen=True, slots=True)
class Efficiency:
    """The judgement; figures are None where `sentence` says why there are none.

    `measured` is there only where the drop is clear of the spread between readings;
    `told` are all rounds whose efficiency can be worked out, used or not. `words` of a
    long list are worked out when they are shown.
    """

    verdict: Verdict
    words: str | Callable[[], str]
    used: list[UsedRound] = field(default_factory=list)
    left_out: list[LeftOut] = field(default_factory=list)
    told: list[UsedRound] = field(default_factory=list)
    now: Estimate | None = None
    as_new: float | None = None
    drop: Estimate | None = None
    measured: EfficiencyDrop | None = None

    @property
    def sentence(self) -> str:
        """Why the verdict is what it is, or why there is none."""
        return self.words if isinstance(self.words, str) else self.words()

    @property
    def allowance(self) -> float | None:
        """What plant meters may err, in shares of one; None without as new."""
        return None if self.as_new is None else METER_ERROR * self.as_new


def judge(
    series: PumpSeries,
    known: KnownAsNew,
    density_kg_m3: float | None,
    motor_efficiency: float = USUAL_MOTOR_EFFICIENCY,
    confidence: float = 0.90,
    *,
    with_history: bool = True,
) -> Efficiency:
    """Judge the pump that stands at a position now.

    Without `with_history` only the rounds that tell about now are worked out, and of
    fewer than it takes only why there is no figure.
    """
    rounds = series.whole if with_history else series.candidates
    judged = partial(
        _judged, series, known, rounds, density_kg_m3, motor_efficiency, confidence
    )
    if not with_history and len(rounds) < FEWEST_READINGS:
        # No figure comes of so few, whatever they read.
        return Efficiency(Verdict.NO_FIGURE, lambda: judged().sentence)
    return judged()


def _judged(
    series: PumpSeries,
    known: KnownAsNew,
    rounds: list[HydraulicRound],
    density_kg_m3: float | None,
    motor_efficiency: float,
    confidence: float,
) -> Efficiency:
    if series.pump is None or not density_kg_m3:
        words = series.refusal if series.pump is None else NO_DENSITY
        return Efficiency(Verdict.NO_FIGURE, words, left_out=[*series.left_out])
    told, refused = _told(rounds, known, density_kg_m3, motor_efficiency)
    chosen, left_out = _of_now(series, told, refused)
    judged = Efficiency(
        Verdict.NO_FIGURE,
        series.refusal,
        left_out=[*series.left_out, *left_out],
        told=list(told.values()),
    )
    if series.refusal:
        return judged
    return _figures(judged, chosen, known, series, confidence)


def _told(
    rounds: list[HydraulicRound],
    known: KnownAsNew,
    density: float,
    motor_efficiency: float,
) -> tuple[dict[int, UsedRound], dict[int, str]]:
    """Rounds by their moment, and of the others why they tell nothing."""
    told: dict[int, UsedRound] = {}
    refused: dict[int, str] = {}
    for one in rounds:
        reading = PumpReading(
            one.flow_m3_h or 0.0,
            one.head_m(density) or 0.0,
            density,
            (one.motor_power_kw or 0.0) * motor_efficiency,
        )
        try:
            share = reading.efficiency
        except MoneyError as refusal:
            refused[one.microseconds] = str(refusal).rstrip(".")
        else:
            fresh = _fresh(known, reading)
            told[one.microseconds] = UsedRound(one, reading, share, fresh)
    return told, refused


def _fresh(known: KnownAsNew, reading: PumpReading) -> float | None:
    if known.curve is None:
        return None
    try:
        return known.curve.efficiency_at(reading.flow_m3_h)
    except TooLittleData:
        return None


def _of_now(
    series: PumpSeries, told: dict[int, UsedRound], refused: dict[int, str]
) -> tuple[list[UsedRound], list[LeftOut]]:
    chosen, left_out = [], []
    for one in series.candidates:
        if one.microseconds in refused:
            left_out.append(LeftOut(one, refused[one.microseconds]))
        else:
            chosen.append(told[one.microseconds])
    return chosen, left_out


def _figures(
    judged: Efficiency,
    chosen: list[UsedRound],
    known: KnownAsNew,
    series: PumpSeries,
    confidence: float,
) -> Efficiency:
    """Rounds that as new does not reach are left out first, then those off the flow."""
    if not chosen:
        return replace(judged, words=_too_few(0, 0, series))
    is_known = known.curve is not None
    compared = [one for one in chosen if one.as_new is not None or not is_known]
    beyond = [
        LeftOut(one.round, "as new is not known at this flow")
        for one in chosen
        if is_known and one.as_new is None
    ]
    judged = replace(judged, left_out=[*judged.left_out, *beyond])
    try:
        places = readings_of_one_point([one.reading for one in compared])
    except MoneyError:
        return replace(judged, words=_too_few(len(compared), len(beyond), series))
    used = [compared[place] for place in places]
    off_flow = [
        LeftOut(one.round, "at another flow")
        for place, one in enumerate(compared)
        if place not in places
    ]
    shares = np.array([one.efficiency for one in used])
    judged = replace(
        judged,
        used=used,
        left_out=[*judged.left_out, *off_flow],
        now=mean_with_limits(shares, confidence),
    )
    if known.curve is None:
        return replace(judged, words=known.refusal)
    return _against(judged, known.curve, compared, confidence)


def _against(
    judged: Efficiency, curve: AsNew, compared: list[UsedRound], confidence: float
) -> Efficiency:
    fresh = np.array([one.as_new for one in judged.used], dtype=float)
    shares = np.array([one.efficiency for one in judged.used])
    drop = mean_with_limits(fresh - shares, confidence)
    judged = replace(judged, as_new=float(fresh.mean()), drop=drop)
    if drop.interval.low <= 0:
        return _worded(judged)
    readings = [one.reading for one in compared]
    try:
        measured = efficiency_drop(readings, curve, confidence=confidence)
    except DropNotClear:
        return _worded(judged, WITHIN_SPREAD)
    return _worded(replace(judged, measured=measured))


def _too_few(compared: int, beyond: int, series: PumpSeries) -> str:
    out_of_reach = f" ({beyond} more where as new is not known)" if beyond else ""
    return (
        f"{count(compared, 'reading').capitalize()} at hand{out_of_reach} "
        f"{series.since_words}; {FEWEST_READINGS} of one flow are needed to tell wear "
        "from the error of reading."
    )


def _worded(judged: Efficiency, refusal: str = "") -> Efficiency:
    """The verdict: beyond the spread of readings, and beyond what meters may err."""
    drop, allowance = judged.drop, judged.allowance
    assert drop is not None
    assert allowance is not None
    low, high = drop.interval.low, drop.interval.high
    if judged.measured is not None and low > allowance:
        words = f"The whole interval lies beyond the {points(allowance)} that plant "
        words += "meters may err."
        return replace(judged, verdict=Verdict.WORN, words=words)
    if judged.measured is not None and low > 0:
        words = f"The rounds agree, but plant meters may err by {points(allowance)}."
        return replace(judged, verdict=Verdict.SMALL, words=words)
    if high < -allowance:
        return replace(judged, verdict=Verdict.BETTER, words=BETTER)
    words = refusal or "The interval of the drop also holds none at all."
    return replace(judged, verdict=Verdict.NOT_CLEAR, words=words, measured=None)


def points(share: float) -> str:
    """A difference of two efficiencies, in points of a hundred."""
    return f"{fixed(100 * share)}{NO_BREAK_SPACE}points"
