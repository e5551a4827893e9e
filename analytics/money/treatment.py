"""How amounts of several years and currencies are brought together, or kept apart."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from analytics.money.errors import InvalidFigure


@dataclass(frozen=True, slots=True)
class MoneyUnit:
    """What an amount is in: a currency, and the year whose prices it is told in.

    Parameters
    ----------
    currency : str
        Three letters.
    prices_of : int or None
        Year of the prices; None is nominal, the money of the day.
    """

    currency: str
    prices_of: int | None = None

    def __str__(self) -> str:
        """Name the unit as columns and files name it."""
        if self.prices_of is None:
            return self.currency
        return f"{self.currency} of {self.prices_of}"


@dataclass(frozen=True, slots=True)
class MoneyTreatment:
    """Rates and price levels, and what is asked of them.

    Parameters
    ----------
    into : str
        Currency asked for; empty leaves each amount in its own.
    prices_of : int or None
        Year whose prices are asked for; None is nominal.
    rates : mapping of (int, str, str) to Decimal
        By year, currency and the currency it is told in.
    levels : mapping of (str, int) to Decimal
        Price level by currency and year.
    """

    into: str = ""
    prices_of: int | None = None
    rates: Mapping[tuple[int, str, str], Decimal] = field(default_factory=dict)
    levels: Mapping[tuple[str, int], Decimal] = field(default_factory=dict)

    @property
    def is_plain(self) -> bool:
        """Whether amounts stay as they were booked."""
        return not self.into and self.prices_of is None

    def factor(self, currency: str, year: int) -> tuple[MoneyUnit, Decimal]:
        """Return the unit that an amount ends in, and what it is multiplied by.

        Parameters
        ----------
        currency : str
            Of the amount.
        year : int
            In which it was booked.

        Returns
        -------
        MoneyUnit, Decimal
            Exact; nothing is rounded here. What has no rate stays in its own
            currency, what has no level stays nominal: a unit apart, never added.

        Raises
        ------
        InvalidFigure
            If a rate or level in the tables is not above zero.

        Notes
        -----
        First into the currency asked for at the rate of the year of the amount,
        then by that currency's price levels, level of the year asked for over
        level of the year of the amount.
        """
        multiplier = Decimal(1)
        if self.into and currency != self.into:
            rate = self._rate(currency, year)
            if rate is not None:
                currency, multiplier = self.into, rate
        if self.prices_of is None:
            return MoneyUnit(currency), multiplier
        if self.prices_of == year:
            return MoneyUnit(currency, year), multiplier
        then = self.levels.get((currency, year))
        asked = self.levels.get((currency, self.prices_of))
        if then is None or asked is None:
            return MoneyUnit(currency), multiplier
        level_ratio = _above_zero(asked) / _above_zero(then)
        return MoneyUnit(currency, self.prices_of), multiplier * level_ratio

    def _rate(self, currency: str, year: int) -> Decimal | None:
        rate = self.rates.get((year, currency, self.into))
        if rate is not None:
            return _above_zero(rate)
        back = self.rates.get((year, self.into, currency))
        return None if back is None else 1 / _above_zero(back)


def _above_zero(value: Decimal) -> Decimal:
    if value <= 0:
        raise InvalidFigure("A rate of exchange or price level must be above zero.")
    return value
