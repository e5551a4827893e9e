"""Rates of exchange and price levels: a figure a year, each change kept."""

from collections.abc import Mapping
from decimal import Decimal
from typing import TypeVar

from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from plant.access import require
from plant.models import User
from records.models import ExchangeRate, PriceLevel
from records.services.life_changes import REASON_LENGTH

Figure = TypeVar("Figure", ExchangeRate, PriceLevel)
KEEP = "records.keep_money_tables"
OTHER_WAY_ROUND = (
    "The rate of {year} stands the other way round, {into} in {currency}: "
    "change or remove that one."
)


@transaction.atomic
def exchange_rates_set(
    *,
    by: User,
    currency: str,
    into: str,
    rates: Mapping[int, Decimal],
    source: str = "",
) -> list[ExchangeRate]:
    """Store one rate a year; a year that stands already is changed.

    Raises
    ------
    ValidationError
        For a rate of a currency in itself, a rate that is not above zero, a year out of
        range, or a year whose rate stands the other way round.
    """
    require(by, KEEP)
    currency, into = currency.strip().upper(), into.strip().upper()
    if currency == into:
        raise ValidationError({"into": "Choose two different currencies."})
    back = ExchangeRate.objects.filter(currency=into, into=currency, year__in=rates)
    standing = back.order_by("year").first()
    if standing is not None:
        words = OTHER_WAY_ROUND.format(year=standing.year, into=into, currency=currency)
        raise ValidationError({"figures": words})
    return [
        _store(_rate_of(year, currency, into), by, "rate", rate, source)
        for year, rate in rates.items()
    ]


@transaction.atomic
def price_levels_set(
    *, by: User, currency: str, levels: Mapping[int, Decimal], source: str = ""
) -> list[PriceLevel]:
    """Store one level a year; a year that stands already is changed.

    Raises
    ------
    ValidationError
        For a level that is not above zero or a year out of range.
    """
    require(by, KEEP)
    currency = currency.strip().upper()
    return [
        _store(_level_of(year, currency), by, "level", level, source)
        for year, level in levels.items()
    ]


@transaction.atomic
def money_figure_remove(
    *, by: User, figure: ExchangeRate | PriceLevel, reason: str
) -> None:
    """Take a figure away; amounts that needed it stand apart again."""
    require(by, KEEP)
    if not reason.strip():
        raise ValidationError({"reason": "Give the reason; it stays in the history."})
    figure._history_user = by  # type: ignore[union-attr]
    figure._change_reason = reason.strip()[:REASON_LENGTH]  # type: ignore[union-attr]
    figure.delete()


def _rate_of(year: int, currency: str, into: str) -> ExchangeRate:
    facts = {"year": year, "currency": currency, "into": into}
    return ExchangeRate.objects.filter(**facts).first() or ExchangeRate(**facts)


def _level_of(year: int, currency: str) -> PriceLevel:
    facts = {"year": year, "currency": currency}
    return PriceLevel.objects.filter(**facts).first() or PriceLevel(**facts)


def _store(figure: Figure, by: User, name: str, value: Decimal, source: str) -> Figure:
    source = source.strip()
    same = figure.pk and getattr(figure, name) == value and figure.source == source
    if same:
        return figure
    setattr(figure, name, value)
    figure.source = source
    if value <= 0:
        raise ValidationError({"figures": f"{figure.year}: give a number above zero."})
    figure._history_user = by  # type: ignore[attr-defined]
    try:
        figure.full_clean()
    except ValidationError as error:
        raise _beside_the_lines(error, figure.year, name) from None
    try:
        with transaction.atomic():
            figure.save()
    except IntegrityError:
        words = f"{figure.year}: somebody stored this year just now. Send it again."
        raise ValidationError({"figures": words}) from None
    return figure


def _beside_the_lines(error: ValidationError, year: int, name: str) -> ValidationError:
    """Figures are typed as lines of one field, which names the year instead."""
    found = error.message_dict
    lines = [
        f"{year}: {text}"
        for field in (name, "year", "__all__")
        for text in found.pop(field, [])
    ]
    return ValidationError({**found, "figures": lines} if lines else found)
