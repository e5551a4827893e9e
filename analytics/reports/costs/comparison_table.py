"""The comparison as a table on the page and as rows of a file."""

from collections.abc import Callable
from decimal import Decimal
from typing import Any

from analytics.reports.costs.amounts import cents
from analytics.reports.costs.comparison import Comparison
from analytics.reports.costs.comparison_lines import ComparisonLine, Value
from analytics.tables import Cell
from plant.display import NO_VALUE, fixed, money, number, percent

EARLIER = (1, 2)


def _years(value: Any) -> str:
    return fixed(value, 1)


def _share(value: Any) -> str:
    return percent(value)


SHOWN: dict[str, Callable[[Any], str]] = {
    "money": money,
    "count": number,
    "years": _years,
    "share": _share,
}


def columns(comparison: Comparison) -> list[Cell]:
    this, *earlier = comparison.periods
    heads: list[Cell] = [
        {"label": "Figure"},
        {"label": this.label, "numeric": True},
    ]
    for period in earlier:
        heads += [
            {"label": period.label, "numeric": True},
            {"label": "Change", "numeric": True},
        ]
    return heads


def days_in_words(comparison: Comparison) -> str:
    """Which days the three columns stand for."""
    days = [f"{p.label.lower()}: {_days(p)}" for p in comparison.periods]
    return f"{'; '.join(days).capitalize()}. A change is this period less the earlier."


def rows(comparison: Comparison) -> list[list[Cell]]:
    return [_cells(line) for line in comparison.lines]


def _cells(line: ComparisonLine) -> list[Cell]:
    found: list[Cell] = [{"text": label_of(line)}, _figure(line, 0)]
    for place in EARLIER:
        found += [_figure(line, place), _change(line, place)]
    return found


def label_of(line: ComparisonLine) -> str:
    """A head figure names its unit of money; what is part of it follows it."""
    with_unit = line.unit and line.level == 0 and line.kind == "money"
    return f"{line.label}, {line.unit}" if with_unit else line.label


def _figure(line: ComparisonLine, place: int) -> Cell:
    text = SHOWN[line.kind](line.values[place])
    return {"text": text, "numeric": True, "url": line.urls[place]}


def _change(line: ComparisonLine, place: int) -> Cell:
    change = line.change(place)
    if change is None:
        return {"text": NO_VALUE, "numeric": True}
    if line.kind == "share":
        points = fixed(float(change) * 100, 0)
        return {"text": f"{_sign(change)}{points} points", "numeric": True}
    share = line.change_share(place)
    return {
        "text": f"{_sign(change)}{SHOWN[line.kind](change)}",
        "numeric": True,
        "note": "" if share is None else f"{_sign(share)}{percent(share)}",
    }


def _sign(change: Value) -> str:
    return "+" if change and change > 0 else ""


def _days(period: Any) -> str:
    return f"{period.window.start} to {period.window.end}"


def export_header(comparison: Comparison) -> list[str]:
    this, *earlier = comparison.periods
    heads = ["Figure", "Unit", f"{this.label}, {_days(this)}"]
    for period in earlier:
        heads += [
            f"{period.label}, {_days(period)}",
            "Change from it",
            "Change from it, share",
        ]
    return heads


def export_rows(comparison: Comparison) -> list[list[Any]]:
    """Plain values; amounts rounded to cents, a share between 0 and 1."""
    return [_export_row(line) for line in comparison.lines]


def _export_row(line: ComparisonLine) -> list[Any]:
    found: list[Any] = [line.label, line.unit, _plain(line.values[0])]
    for place in EARLIER:
        found += [
            _plain(line.values[place]),
            _plain(line.change(place)),
            line.change_share(place),
        ]
    return found


def _plain(value: Value) -> Value:
    return cents(value) if isinstance(value, Decimal) else value
