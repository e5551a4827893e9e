"""How figures and inputs of a case are written; page, tables and sentences share it."""

from collections.abc import Callable
from typing import Protocol

from analytics.reports.budget.figures import amount
from plant.display import Number, count, fixed, interval, months, number, percent


class HasLimits(Protocol):
    """A figure or an input."""

    @property
    def value(self) -> float | None: ...
    @property
    def low(self) -> float | None: ...
    @property
    def high(self) -> float | None: ...
    @property
    def unit(self) -> str: ...


def shown(value: Number, unit: str, currency: str) -> str:
    """A number as its unit asks."""
    if unit == "money":
        return amount(value, currency)
    if unit == "years":
        return number(value) if value is None else count(int(float(value)), "year")
    forms: dict[str, Callable[[Number], str]] = {
        "months": months,
        "share": share,
    }
    return forms.get(unit, two_places)(value)


def share(value: Number) -> str:
    return number(value) if value is None else percent(float(value))


def two_places(value: Number) -> str:
    return fixed(value, 2)


def value_of(figure: HasLimits, currency: str) -> str:
    return shown(figure.value, figure.unit, currency)


def limits_of(figure: HasLimits) -> str:
    """The 90 % limits without currency, or nothing."""
    if figure.low is None and figure.high is None:
        return ""
    return interval(
        figure.low, figure.high, lambda limit: shown(limit, figure.unit, "")
    )
