"""How figures of a case are written in a cell: the value, and its limits below."""

from typing import Any

from analytics.reports.budget.figures import amount
from analytics.reports.upgrade_follow_up.figures import Figure
from analytics.reports.upgrades.figures import NO_COST
from analytics.reports.upgrades.shown import shown
from plant import display

Cell = dict[str, Any]
INTERVAL = "90\u00a0% interval"
NEVER = "not within its years"


def limits(figure: Figure, unit: str = "money") -> str:
    """The interval as a note under a value; empty where there is none."""
    if not figure.has_limits or figure.low == figure.high:
        return ""
    text = display.interval(figure.low, figure.high, lambda v: shown(v, unit, ""))
    return f"90\u00a0%: {text}"


def money_cell(figure: Figure, currency: str) -> Cell:
    return numeric(amount(figure.value, currency), limits(figure))


def rate_cell(figure: Figure) -> Cell:
    return _cell(figure, "per year")


def share_cell(figure: Figure) -> Cell:
    """A share; one that there is none of says why."""
    if figure.value is None:
        return numeric(display.NO_VALUE, figure.reason)
    return _cell(figure, "share")


def months_cell(figure: Figure) -> Cell:
    """A payback: one that never comes says so, its interval may still have an end."""
    if figure.value is None and not figure.has_limits and figure.reason == NO_COST:
        return numeric(display.NO_VALUE, figure.reason)
    if figure.value is None:
        return numeric(NEVER, limits(figure, "months"))
    return _cell(figure, "months")


def _cell(figure: Figure, unit: str) -> Cell:
    return numeric(shown(figure.value, unit, ""), limits(figure, unit))


def numeric(text: str, note: str = "") -> Cell:
    cell: Cell = {"text": text, "numeric": True}
    return cell | {"note": note} if note else cell
