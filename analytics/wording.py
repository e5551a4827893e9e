"""Sentences about rates that several pages share."""

from collections.abc import Callable
from typing import Any

from analytics.rates import MeanTime
from plant.display import (
    NO_BREAK_SPACE,
    NO_VALUE,
    count,
    fixed,
    interval,
    number,
    percent,
)


def mean_text(rate: MeanTime, show: Callable[[Any], str]) -> str:
    """The mean time, or a dash where there were no events to divide by."""
    return NO_VALUE if rate.value is None else show(rate.value)


def value_text(rate: MeanTime, show: Callable[[Any], str], *, none: str) -> str:
    """The mean time as the figure of a tile, in words where there is none."""
    return none if rate.exposure > 0 and not rate.events else mean_text(rate, show)


def limits_text(rate: MeanTime, show: Callable[[Any], str]) -> str:
    """Both limits; without events the lower bound."""
    if rate.low is None:
        return NO_VALUE
    if rate.high is None:
        return f"at least {show(rate.low)}"
    return interval(rate.low, rate.high, show)


def interval_sentence(rate: MeanTime, show: Callable[[Any], str], unit: str) -> str:
    """The interval with its confidence, for a tile; the unit stands once."""
    if rate.low is None:
        return ""
    sided = ", one-sided" if rate.high is None else ""
    limits = f"{limits_text(rate, show)} {unit}"
    return f"{percent(rate.confidence)} interval{sided}: {limits}"


def sample_text(rate: MeanTime, *, event: str, exposure: str) -> str:
    """Events and exposure behind a figure: 3 repairs in 120 position-months."""
    if rate.exposure <= 0:
        return f"no {exposure} in this window"
    return f"{count(rate.events, event)} in {exposure_text(rate.exposure)} {exposure}"


def exposure_text(exposure: float) -> str:
    return number(round(exposure)) if exposure >= 1000 else fixed(exposure, 1)


def confidence_label(confidence: float) -> str:
    return f"{percent(confidence).replace(NO_BREAK_SPACE, ' ')} interval"


def open_note(still_open: int) -> str:
    """How many of the repairs behind a figure are not settled yet."""
    return f", {number(still_open)} of them open or unsigned" if still_open else ""


def whole(value: Any) -> str:
    """Without a decimal, where the unit stands beside it."""
    return fixed(value, 0)
