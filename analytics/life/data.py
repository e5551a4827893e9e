"""The one description of a life sample that every statistic accepts."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, TypeVar

import numpy as np
from numpy.typing import ArrayLike, NDArray

from analytics.life.arrays import BoolArray, FloatArray, as_flags, as_numbers
from analytics.life.errors import InvalidSample

LEAST_ENTRY_SHARE = 1e-200
AnyArray = TypeVar("AnyArray", bound=np.ndarray[Any, Any])

# Ages outside these bounds are nearly always a slip of the unit.
PLAUSIBLE_AGES = {"h": (0.01, 1e6), "d": (0.01, 5e4)}


@dataclass(frozen=True, slots=True, init=False, eq=False)
class LifeData:
    """Ages at which lives ended or were last seen alive.

    Parameters
    ----------
    ages : array_like of float, shape (n,)
        Age at the end of observation, above zero, one unit for all.
    failed : array_like of bool, shape (n,)
        True if the life ended in the failure under study, False if it was
        still running or was ended by something else (a suspension).
    entry_ages : array_like of float, shape (n,), optional
        Age at which records began (delayed entry); zero or more, below the
        age. Left out, every life was watched from zero.
    unit : str, default "h"
        Unit of the ages; samples of different units are never compared.
    groups : sequence of hashable, shape (n,), optional
        Label of the position of each life. When labels repeat, intervals
        treat the lives of one position as dependent.

    Raises
    ------
    InvalidSample
        If the sample is empty, lengths differ, an age is missing, infinite,
        zero or negative, an entry age is negative or not below its age, or
        the unit is blank.
    """

    ages: FloatArray
    failed: BoolArray
    entry_ages: FloatArray | None
    unit: str
    groups: NDArray[np.int64] | None

    def __init__(
        self,
        ages: ArrayLike,
        failed: ArrayLike,
        entry_ages: ArrayLike | None = None,
        unit: str = "h",
        groups: Sequence[Any] | None = None,
    ) -> None:
        checked_ages = _checked_ages(ages)
        checked_failed = as_flags(failed, "failed flags")
        _same_length(checked_ages.size, checked_failed.size, "failed flags")
        if not isinstance(unit, str) or not unit.strip():
            raise InvalidSample("The ages have no unit.")
        put = object.__setattr__
        put(self, "ages", _frozen(checked_ages))
        put(self, "failed", _frozen(checked_failed))
        put(self, "entry_ages", _checked_entries(entry_ages, checked_ages))
        put(self, "unit", unit.strip())
        put(self, "groups", _group_numbers(groups, checked_ages.size))

    @property
    def n(self) -> int:
        """Number of lives."""
        return int(self.ages.size)

    @property
    def failures(self) -> int:
        """Number of lives that ended in failure."""
        return int(np.count_nonzero(self.failed))

    @property
    def suspensions(self) -> int:
        """Number of lives that did not end in failure."""
        return self.n - self.failures

    @property
    def entries(self) -> FloatArray:
        """Entry ages, zero where watched from the beginning."""
        return np.zeros(self.n) if self.entry_ages is None else self.entry_ages

    @property
    def clusters(self) -> int:
        """Number of distinct positions, or of lives when none are named."""
        return self.n if self.groups is None else int(self.groups.max()) + 1

    @property
    def warnings(self) -> tuple[str, ...]:
        """Doubts about the ages themselves, in sentences."""
        low, high = PLAUSIBLE_AGES.get(self.unit, (0.0, np.inf))
        if self.ages.min() < low or self.ages.max() > high:
            return (
                f"Some ages lie outside {low:g} to {high:g} {self.unit}: "
                "check the unit of the records.",
            )
        return ()


def _checked_ages(ages: ArrayLike) -> FloatArray:
    checked = as_numbers(ages, "ages")
    if checked.size == 0:
        raise InvalidSample("The sample is empty.")
    if checked.min() <= 0.0:
        raise InvalidSample("Every age must be above zero.")
    return checked


def _checked_entries(
    entry_ages: ArrayLike | None, ages: FloatArray
) -> FloatArray | None:
    if entry_ages is None:
        return None
    entries = as_numbers(entry_ages, "entry ages")
    _same_length(ages.size, entries.size, "entry ages")
    if entries.min() < 0.0:
        raise InvalidSample("No entry age may be negative.")
    if (entries >= ages).any():
        raise InvalidSample("Every entry age must lie below the age at the end.")
    # So small a share of the age is no late entry, and its logarithm overflows.
    entries[entries < LEAST_ENTRY_SHARE * ages.max()] = 0.0
    return _frozen(entries) if entries.any() else None


def _group_numbers(groups: Sequence[Any] | None, n: int) -> NDArray[np.int64] | None:
    if groups is None:
        return None
    try:
        labels = list(groups)
        order = {label: number for number, label in enumerate(dict.fromkeys(labels))}
    except TypeError:
        raise InvalidSample("The group labels are not one plain list.") from None
    _same_length(n, len(labels), "group labels")
    return _frozen(np.array([order[label] for label in labels], dtype=np.int64))


def _same_length(n: int, other: int, name: str) -> None:
    if n != other:
        raise InvalidSample(f"There are {n} ages but {other} {name}.")


def _frozen(values: AnyArray) -> AnyArray:
    values.setflags(write=False)
    return values
