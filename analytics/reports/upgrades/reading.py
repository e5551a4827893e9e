"""Typed figures taken back from JSON, each refused with a sentence."""

from collections.abc import Callable, Mapping
from dataclasses import fields
from decimal import Decimal, InvalidOperation
from typing import Any

from django.db.models import TextChoices

from analytics.money.discounting import Timing
from analytics.money.errors import InvalidFigure
from analytics.reports.life.question import COMPONENT_NAMES
from analytics.reports.upgrades.typed import Population, Range

WORD_LENGTH = 120


def number_read(given: Any) -> Decimal:
    try:
        number = Decimal(str(given).strip())
    except InvalidOperation:
        raise InvalidFigure("This is not a number.") from None
    if not number.is_finite() or isinstance(given, bool):
        raise InvalidFigure("This is not a number.")
    return number


def number_or_none_read(given: Any) -> Decimal | None:
    return None if given in (None, "") else number_read(given)


def range_read(given: Any) -> Range:
    if not isinstance(given, Mapping):
        return Range(number_read(given))
    return Range(
        number_read(given.get("likely", 0)),
        number_or_none_read(given.get("least")),
        number_or_none_read(given.get("most")),
    )


def range_or_none_read(given: Any) -> Range | None:
    return None if given in (None, "") else range_read(given)


def whole_read(given: Any) -> int:
    number = number_read(given)
    if number != int(number):
        raise InvalidFigure("This must be a whole number.")
    return int(number)


def choice_read(choices: type[TextChoices]) -> Callable[[Any], TextChoices]:
    def read(given: Any) -> TextChoices:
        try:
            return choices(given)
        except ValueError:
            raise InvalidFigure(f"{given!r} is not one of the choices.") from None

    return read


def timing_read(given: Any) -> Timing:
    if given == "end_of_year" or given == "mid_year":
        return given  # type: ignore[no-any-return]
    raise InvalidFigure(f"{given!r} is not one of the choices.")


def population_read(given: Any) -> Population:
    if not isinstance(given, Mapping):
        raise InvalidFigure("This is no kind of part.")
    names = {one.name for one in fields(Population)}
    words = {name: str(given[name]).strip() for name in names if given.get(name)}
    if any(len(word) > WORD_LENGTH for word in words.values()):
        raise InvalidFigure(f"Keep each within {WORD_LENGTH} characters.")
    if words.get("component", "seal") not in COMPONENT_NAMES:
        raise InvalidFigure("Choose seals or bearings.")
    return Population(**words)
