"""Invented rates and price levels, so that costs of several years can be restated."""

from datetime import date
from decimal import Decimal

from plant.models import User
from records.services.money_tables import exchange_rates_set, price_levels_set

SOURCE = "Invented for the demo"
ENERGY_PRICE = Decimal("0.14")
DISCOUNT_RATE = Decimal("0.08")
# Rise of prices against the year before, per cent, and dollars in euro, oldest first.
RISES = ("0", "1.9", "5.8", "4.6", "2.7", "2.1", "2.3")
DOLLARS = ("0.88", "0.85", "0.95", "0.92", "0.93", "0.90", "0.89")


def money_tables_store(by: User, ends_on: date) -> None:
    """Levels and rates of the seven calendar years that the history touches."""
    years = range(ends_on.year - len(RISES) + 1, ends_on.year + 1)
    level, levels = Decimal(100), {}
    for year, rise in zip(years, RISES, strict=True):
        level = (level * (1 + Decimal(rise) / 100)).quantize(Decimal("0.1"))
        levels[year] = level
    price_levels_set(by=by, currency="EUR", levels=levels, source=SOURCE)
    rates = {year: Decimal(rate) for year, rate in zip(years, DOLLARS, strict=True)}
    exchange_rates_set(by=by, currency="USD", into="EUR", rates=rates, source=SOURCE)
