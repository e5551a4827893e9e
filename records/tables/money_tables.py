"""Rates of exchange, price levels and their changes as tables and as a file."""

from collections.abc import Iterable, Iterator
from itertools import pairwise
from typing import Any

from django.urls import reverse

from plant import display
from plant.listing import Column
from records.models import ExchangeRate, PriceLevel
from records.selectors.money_tables import FigureChange

Cell = dict[str, Any]
RATE_COLUMNS = [
    Column("Rate"),
    Column("Year"),
    Column("Worth", numeric=True),
    Column("Source"),
]
LEVEL_COLUMNS = [
    Column("Price level"),
    Column("Year"),
    Column("Level", numeric=True),
    Column("Against the year before", numeric=True),
    Column("Source"),
]
REMOVE = Column("Remove")
CHANGE_COLUMNS = [
    Column("When"),
    Column("Who"),
    Column("What"),
    Column("Figure"),
    Column("Value", numeric=True),
    Column("Source"),
]
EXPORT_HEADER = ["kind", "currency", "told_in", "year", "figure", "source"]


def rate_cells(rates: Iterable[ExchangeRate], may_keep: bool) -> list[list[Cell]]:
    return [
        [
            {"text": f"{rate.currency} in {rate.into}"},
            {"text": str(rate.year)},
            {"text": _figure(rate), "numeric": True},
            {"text": rate.source},
            *_removal(rate, "records:exchange_rate_remove", may_keep),
        ]
        for rate in rates
    ]


def level_cells(levels: list[PriceLevel], may_keep: bool) -> list[list[Cell]]:
    before = {
        later.pk: later.level / earlier.level - 1
        for later, earlier in pairwise(levels)
        if (later.currency, later.year) == (earlier.currency, earlier.year + 1)
    }
    return [
        [
            {"text": level.currency},
            {"text": str(level.year)},
            {"text": _figure(level), "numeric": True},
            {
                "text": display.percent(float(before[level.pk]), 1)
                if level.pk in before
                else display.NO_VALUE,
                "numeric": True,
            },
            {"text": level.source},
            *_removal(level, "records:price_level_remove", may_keep),
        ]
        for level in levels
    ]


def _removal(figure: Any, name: str, may_keep: bool) -> list[Cell]:
    url = reverse(name, args=[figure.pk])
    return [{"text": "Remove", "url": url}] if may_keep else []


def _figure(row: ExchangeRate | PriceLevel) -> str:
    """All digits that were typed, and no more."""
    value = row.rate if isinstance(row, ExchangeRate) else row.level
    digits = f"{value:f}"
    return digits.rstrip("0").rstrip(".") if "." in digits else digits


def change_cells(changes: Iterable[FigureChange]) -> list[list[Cell]]:
    return [
        [
            {"text": display.date_time(change.at)},
            {"text": change.who},
            {"text": change.what},
            {"text": str(change.figure)},
            {"text": _figure(change.figure), "numeric": True},
            {"text": change.figure.source},
        ]
        for change in changes
    ]


def export_rows(
    rates: Iterable[ExchangeRate], levels: Iterable[PriceLevel]
) -> Iterator[list[Any]]:
    for rate in rates:
        told_in = [rate.currency, rate.into, rate.year]
        yield ["rate of exchange", *told_in, _figure(rate), rate.source]
    for level in levels:
        of = [level.currency, "", level.year]
        yield ["price level", *of, _figure(level), level.source]
