"""Rates of exchange and price levels as tables to look up in."""

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from plant.models import Site
from records.models import CostLine, ExchangeRate, PriceLevel

NEWEST_CHANGES = 50
WORDS = {"+": "Added", "~": "Changed", "-": "Removed"}


def exchange_rates() -> dict[tuple[int, str, str], Decimal]:
    """Rate by year, currency and the currency it is told in."""
    rows = ExchangeRate.objects.values_list("year", "currency", "into", "rate")
    return {(year, currency, into): rate for year, currency, into, rate in rows}


def price_levels() -> dict[tuple[str, int], Decimal]:
    """Price level by currency and year."""
    rows = PriceLevel.objects.values_list("currency", "year", "level")
    return {(currency, year): level for currency, year, level in rows}


def years_with_levels() -> list[int]:
    """Years to whose prices amounts can be restated, newest first."""
    found = PriceLevel.objects.order_by("-year").values_list("year", flat=True)
    return list(found.distinct())


def currencies_told_in() -> list[str]:
    """Currencies into which some rate leads, in order."""
    pairs = ExchangeRate.objects.values_list("currency", "into")
    return sorted({code for pair in pairs for code in pair})


def currencies_known(site: Site) -> list[str]:
    """What money of a site can be told in: its own, in the tables, or in its ledger."""
    tables = PriceLevel.objects.order_by().values_list("currency", flat=True)
    booked = CostLine.objects.filter(repair__site=site).order_by()
    in_ledger = booked.values_list("currency", flat=True)
    others = {*currencies_told_in(), *tables.distinct(), *in_ledger.distinct()}
    return [site.currency, *sorted(others - {site.currency})]


@dataclass(frozen=True, slots=True)
class FigureChange:
    """One entry in the history of rates and price levels."""

    at: datetime
    who: str
    what: str
    figure: ExchangeRate | PriceLevel


def figure_changes() -> list[FigureChange]:
    """The newest changes of both tables together, removed figures among them."""
    found = [
        FigureChange(
            row.history_date,
            str(row.history_user) if row.history_user else "Not recorded",
            ": ".join(
                filter(None, [WORDS[row.history_type], row.history_change_reason])
            ),
            row.instance,
        )
        for model in (ExchangeRate, PriceLevel)
        for row in model.history.select_related("history_user").order_by("-history_id")[
            :NEWEST_CHANGES
        ]
    ]
    return sorted(found, key=lambda change: change.at, reverse=True)[:NEWEST_CHANGES]
