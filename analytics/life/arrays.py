"""Checked conversion of what a caller gives into arrays and settings."""

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from analytics.life.errors import InvalidSample

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]
IntArray = NDArray[np.int64]


def as_numbers(values: Any, name: str) -> FloatArray:
    """Return a one-dimensional copy of finite numbers.

    Raises
    ------
    InvalidSample
        If a value is missing, infinite, complex or not a number at all.
    """
    try:
        numbers = np.array(values, dtype=np.float64)
    except (TypeError, ValueError):
        raise InvalidSample(f"The {name} are not all numbers.") from None
    if numbers.ndim != 1:
        raise InvalidSample(f"The {name} are not one plain list.")
    if not np.isfinite(numbers).all():
        raise InvalidSample(f"The {name} hold a missing or infinite value.")
    return numbers


def as_flags(values: Any, name: str) -> BoolArray:
    """Return a one-dimensional copy of true/false values (0 and 1 allowed).

    Raises
    ------
    InvalidSample
        If a value is neither true nor false.
    """
    try:
        flags = np.array(values)
    except ValueError:
        raise InvalidSample(f"The {name} are not one plain list.") from None
    if flags.ndim != 1:
        raise InvalidSample(f"The {name} are not one plain list.")
    if flags.dtype == np.bool_:
        return flags
    numbers = as_numbers(values, name)
    if not np.isin(numbers, (0.0, 1.0)).all():
        raise InvalidSample(f"The {name} hold a value that is neither yes nor no.")
    return np.asarray(numbers == 1.0, dtype=np.bool_)


def positive_number(value: float, name: str) -> float:
    """Return `value` as a float above zero.

    Raises
    ------
    InvalidSample
        If it is not a finite number above zero.
    """
    try:
        number = float(value)
    except (TypeError, ValueError):
        raise InvalidSample(f"The {name} is not a number.") from None
    if not (np.isfinite(number) and number > 0.0):
        raise InvalidSample(f"The {name} must be above zero.")
    return number


def zero_or_more(value: float, name: str) -> float:
    """Return `value` as a finite float, zero or more.

    Raises
    ------
    InvalidSample
        If it is negative, infinite or not a number.
    """
    try:
        number = float(value)
    except (TypeError, ValueError):
        raise InvalidSample(f"The {name} is not a number.") from None
    if not (np.isfinite(number) and number >= 0.0):
        raise InvalidSample(f"The {name} must be zero or more.")
    return number


def event_count(value: float, name: str) -> int:
    """Return `value` as a whole number of events, zero or more.

    Raises
    ------
    InvalidSample
        If it is negative or not whole.
    """
    try:
        number = float(value)
    except (TypeError, ValueError):
        raise InvalidSample(f"The {name} is not a number.") from None
    if not np.isfinite(number) or number < 0.0 or number != int(number):
        raise InvalidSample(f"The {name} must be a whole number, zero or more.")
    return int(number)


def checked_share(value: float, name: str, whole: float = 1.0) -> float:
    """Return a share that lies between 0 and the whole, exclusive.

    Raises
    ------
    InvalidSample
        Otherwise.
    """
    try:
        share = float(value)
    except (TypeError, ValueError):
        raise InvalidSample(f"The {name} is not a number.") from None
    if not 0.0 < share < whole:
        raise InvalidSample(f"The {name} must lie between 0 and {whole:g}.")
    return share


def checked_confidence(confidence: float) -> float:
    """Return the confidence if it lies between 0 and 1, exclusive.

    Raises
    ------
    InvalidSample
        Otherwise.
    """
    value = positive_number(confidence, "confidence")
    if value >= 1.0:
        raise InvalidSample("The confidence must lie between 0 and 1.")
    return value


def paired(
    first: ArrayLike, second: ArrayLike, first_name: str, second_name: str
) -> tuple[FloatArray, FloatArray]:
    """Return two checked lists of equal, non-zero length.

    Raises
    ------
    InvalidSample
        If the lengths differ or both are empty.
    """
    left, right = as_numbers(first, first_name), as_numbers(second, second_name)
    if left.size != right.size:
        raise InvalidSample(
            f"There are {left.size} {first_name} but {right.size} {second_name}."
        )
    if left.size == 0:
        raise InvalidSample(f"There are no {first_name}.")
    return left, right
