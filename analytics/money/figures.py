"""Checked conversion of prices, rates and periods into plain numbers.

Ledger sums stay `Decimal` where they are added up; a forecast is an estimate, so
from here on it is a float.
"""

from collections.abc import Sequence
from decimal import Decimal

import numpy as np

from analytics.life.arrays import FloatArray
from analytics.money.errors import InvalidFigure

Amount = float | Decimal
# A plant outlives no longer plan; a longer one is a slip of the keyboard.
LONGEST_YEARS = 100


def known(value: Amount, name: str) -> float:
    """Return a finite number.

    Raises
    ------
    InvalidFigure
        If it is missing, infinite or no number at all.
    """
    try:
        number = float(value)
    except (TypeError, ValueError):
        raise InvalidFigure(f"The {name} is not a number.") from None
    if not np.isfinite(number):
        raise InvalidFigure(f"The {name} is missing or infinite.")
    return number


def above_zero(value: Amount, name: str) -> float:
    """Return a number above zero.

    Raises
    ------
    InvalidFigure
        If it is not above zero.
    """
    number = known(value, name)
    if number <= 0.0:
        raise InvalidFigure(f"The {name} must be above zero.")
    return number


def zero_or_more(value: Amount, name: str) -> float:
    """Return a number of zero or more.

    Raises
    ------
    InvalidFigure
        If it is negative.
    """
    number = known(value, name)
    if number < 0.0:
        raise InvalidFigure(f"The {name} must be zero or more.")
    return number


def share_of_one(value: Amount, name: str) -> float:
    """Return a share above zero and at most one.

    Raises
    ------
    InvalidFigure
        If it lies outside.
    """
    number = above_zero(value, name)
    if number > 1.0:
        raise InvalidFigure(f"The {name} must not be above 1, which is 100 %.")
    return number


def yearly_rate(value: Amount, name: str) -> float:
    """Return a rate per year as a share; 0.08 is 8 %.

    Raises
    ------
    InvalidFigure
        If it is -100 % or less, or above 1,000 %, as when 8 is given for 8 %.
    """
    number = known(value, name)
    if not -1.0 < number <= 10.0:
        raise InvalidFigure(
            f"The {name} must lie above -100 % and not above 1,000 % a year."
        )
    return number


def whole_years(value: Amount, name: str = "number of years") -> int:
    """Return a number of whole years, one or more.

    Raises
    ------
    InvalidFigure
        If it is not whole, below one or beyond `LONGEST_YEARS`.
    """
    number = known(value, name)
    if number != int(number) or not 1 <= number <= LONGEST_YEARS:
        raise InvalidFigure(f"The {name} must be whole, from 1 to {LONGEST_YEARS}.")
    return int(number)


def checked_share(confidence: float, name: str = "confidence") -> float:
    """Return a probability between 0 and 1, exclusive.

    Raises
    ------
    InvalidFigure
        If it lies outside.
    """
    number = known(confidence, name)
    if not 0.0 < number < 1.0:
        raise InvalidFigure(f"The {name} must lie between 0 and 1.")
    return number


def payments(amounts: Sequence[Amount] | FloatArray, name: str) -> FloatArray:
    """Return one payment a year, at least one, none missing.

    Raises
    ------
    InvalidFigure
        If there is none, or one is missing, infinite or no number.
    """
    checked = [known(amount, name) for amount in amounts]
    if not 1 <= len(checked) <= LONGEST_YEARS + 1:
        raise InvalidFigure(
            f"The {name} must be one number a year, for 1 to {LONGEST_YEARS} years."
        )
    return np.array(checked, dtype=np.float64)
