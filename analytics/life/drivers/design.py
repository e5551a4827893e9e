"""Turns a table of lives into the columns of a regression, or refuses them."""

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import numpy as np

from analytics.life.arrays import FloatArray
from analytics.life.data import LifeData
from analytics.life.errors import CovariateRefused, InvalidSample

if TYPE_CHECKING:
    import pandas as pd

# A column known for fewer lives than this share is called empty.
KNOWN_SHARE = 0.5
# Share of a column's variance explained by others from which it repeats them.
REPEATED = 0.98
LEAST_LIVES = 3


@dataclass(frozen=True, slots=True)
class Column:
    """One column of the regression.

    Parameters
    ----------
    name : str
        Covariate in the table.
    level : str or None
        Level of a covariate in words, None for a number.
    against : str or None
        Level it is compared with.
    step : float
        Rise of the covariate whose effect is reported.
    """

    name: str
    level: str | None
    against: str | None
    step: float

    @property
    def label(self) -> str:
        """Name for messages."""
        return self.name if self.level is None else f"{self.name}: {self.level}"


@dataclass(frozen=True, slots=True, eq=False)
class Design:
    """Lives with the columns that explain them.

    Parameters
    ----------
    lives : LifeData
        Rows that are complete.
    columns : tuple of Column
        What each column of `matrix` means.
    matrix : ndarray, shape (n, columns)
        Values, centred and in steps.
    refused : dict
        Column or level to the reason why it was left out.
    left_out : int
        Rows left out because a value was missing or its level refused.
    """

    lives: LifeData
    columns: tuple[Column, ...]
    matrix: FloatArray
    refused: dict[str, str]
    left_out: int


@dataclass(slots=True)
class _Draft:
    """Columns accepted so far."""

    columns: list[Column] = field(default_factory=list)
    values: list[FloatArray] = field(default_factory=list)
    refused: dict[str, str] = field(default_factory=dict)


def life_design(
    table: "pd.DataFrame",
    age: str,
    failed: str,
    entry: str | None,
    group: str | None,
    unit: str,
) -> Design:
    """Build the design of a life regression.

    Parameters
    ----------
    table : pandas.DataFrame
        One row for each life.
    age, failed : str
        Columns of the age at the end and whether it was a failure.
    entry, group : str, optional
        Columns of the entry age and of the position; ignored if absent.
    unit : str
        Unit of the ages.

    Raises
    ------
    InvalidSample
        If a named column is missing, no row is complete or ages are wrong.
    CovariateRefused
        If no covariate is left.
    """
    for name in (age, failed):
        if name not in table.columns:
            raise InvalidSample(f"The table has no column {name!r}.")
    special = {age, failed, entry, group}
    names = [name for name in table.columns if name not in special]
    refused = _empty_columns(table, names)
    names = [name for name in names if name not in refused]
    rows = _usable_rows(table, failed, names, refused)
    draft = _drafted(rows, names, refused)
    return Design(
        lives=LifeData(
            rows[age],
            rows[failed].astype(bool),
            rows[entry] if entry in rows.columns else None,
            unit,
            rows[group].tolist() if group in rows.columns else None,
        ),
        columns=tuple(draft.columns),
        matrix=np.stack(draft.values, axis=1),
        refused=draft.refused,
        left_out=int(len(table) - len(rows)),
    )


def _usable_rows(
    table: "pd.DataFrame", failed: str, names: list[str], refused: dict[str, str]
) -> "pd.DataFrame":
    """Return the lives whose values are all known and can be estimated."""
    kept = table[names].notna().all(axis=1)
    sound = _level_has_failures(table[kept], failed, names, refused)
    rows = table[kept & sound.reindex(table.index, fill_value=False)]
    if rows.empty:
        raise InvalidSample("No life has a value in every column.")
    return rows


def _drafted(rows: "pd.DataFrame", names: list[str], refused: dict[str, str]) -> _Draft:
    draft = _Draft(refused=refused)
    for name in names:
        _add(draft, name, rows[name])
    if not draft.columns:
        reasons = "; ".join(f"{name} {why}" for name, why in refused.items())
        raise CovariateRefused(f"No covariate is left: {reasons}")
    return draft


def _empty_columns(table: "pd.DataFrame", names: list[str]) -> dict[str, str]:
    refused = {}
    for name in names:
        known = float(table[name].notna().mean())
        if known < KNOWN_SHARE:
            refused[name] = f"is empty: known for {known:.0%} of the lives."
        elif table[name].nunique(dropna=True) < 2:
            refused[name] = "has one value only."
    return refused


def _level_has_failures(
    rows: "pd.DataFrame", failed: str, names: list[str], refused: dict[str, str]
) -> "pd.Series[bool]":
    """Mark rows whose levels can be estimated; name the other levels."""
    good = rows[failed].notna()
    for name in names:
        if _is_number(rows[name]):
            continue
        failures = rows[failed].astype(bool).groupby(rows[name].astype(str)).sum()
        lives = rows[name].astype(str).value_counts()
        for level in failures.index:
            if failures[level] == 0 or lives[level] < LEAST_LIVES:
                refused[f"{name}: {level}"] = (
                    f"has {failures[level]} failures in {lives[level]} lives."
                )
                good &= rows[name].astype(str) != level
    return good


def _is_number(values: "pd.Series[Any]") -> bool:
    return values.dtype.kind in "iuf"


def _add(draft: _Draft, name: str, values: "pd.Series[Any]") -> None:
    """Add one covariate as one column, or as one for each level but one."""
    if _is_number(values):
        numbers = values.to_numpy(dtype=np.float64)
        spread = float(np.subtract(*np.percentile(numbers, [75, 25])))
        step = spread if spread > 0.0 else float(numbers.std())
        if step == 0.0:
            draft.refused[name] = "has one value only."
            return
        _accept(draft, Column(name, None, None, step), numbers / step)
        return
    words = values.astype(str)
    levels = words.value_counts().index.tolist()
    if len(levels) < 2:
        draft.refused[name] = "has one usable level only."
        return
    for level in levels[1:]:
        column = Column(name, str(level), str(levels[0]), 1.0)
        _accept(draft, column, (words == level).to_numpy(dtype=np.float64))


def _accept(draft: _Draft, column: Column, values: FloatArray) -> None:
    """Keep a column unless those before it already say the same."""
    centred = values - values.mean()
    if draft.values:
        others = np.stack(draft.values, axis=1)
        answer = np.linalg.lstsq(others, centred, rcond=None)[0]
        left = centred - others @ answer
        if left @ left < (1.0 - REPEATED) * (centred @ centred):
            strength = np.abs(others.T @ centred) / np.linalg.norm(others, axis=0)
            twin = draft.columns[int(strength.argmax())].label
            draft.refused[column.label] = f"repeats others, above all {twin}."
            return
    draft.columns.append(column)
    draft.values.append(centred)
