"""What a column of a sheet is: its kind of value, limits and meaning."""

from dataclasses import dataclass
from enum import Enum
from typing import cast

from django.db import models

from records.importing.vocabulary import Vocabulary


class Kind(Enum):
    """How the cells of a column are read."""

    TEXT = "text"
    NUMBER = "number"
    COUNT = "whole number"
    SHARE = "share between 0 and 1"
    MONEY = "amount"
    DAY = "date"
    MOMENT = "date or date and time"
    WORD = "one of the allowed words"
    WORDS = "allowed words, separated by semicolons"
    YES_NO = "yes or no"
    CURRENCY = "three letters"


@dataclass(frozen=True, slots=True)
class Column:
    name: str
    kind: Kind
    meaning: str
    required: bool = False
    unit: str = ""
    longest: int = 0
    lowest: float | None = None
    highest: float | None = None
    words: Vocabulary | None = None


@dataclass(frozen=True, slots=True)
class Sheet:
    name: str
    meaning: str
    columns: tuple[Column, ...]

    @property
    def by_name(self) -> dict[str, Column]:
        return {column.name: column for column in self.columns}

    @property
    def required(self) -> list[str]:
        return [column.name for column in self.columns if column.required]


def text(
    name: str,
    model: type[models.Model],
    field: str,
    meaning: str,
    required: bool = False,
) -> Column:
    """Words, as long as the table's own field allows (a TextField: any length)."""
    stored = cast("models.Field[object, object]", model._meta.get_field(field))
    longest = stored.max_length or 0
    return Column(name, Kind.TEXT, meaning, required, longest=longest)


def number(
    name: str,
    unit: str,
    meaning: str,
    lowest: float | None = 0,
    highest: float | None = None,
    whole: bool = False,
) -> Column:
    kind = Kind.COUNT if whole else Kind.NUMBER
    return Column(name, kind, meaning, unit=unit, lowest=lowest, highest=highest)


def money(name: str, meaning: str) -> Column:
    return Column(name, Kind.MONEY, meaning, unit="in currency", lowest=0)


def day(name: str, meaning: str, required: bool = False) -> Column:
    return Column(name, Kind.DAY, meaning, required)


def moment(name: str, meaning: str, required: bool = False) -> Column:
    return Column(name, Kind.MOMENT, meaning, required)


def word(name: str, words: Vocabulary, meaning: str, required: bool = False) -> Column:
    return Column(name, Kind.WORD, meaning, required, words=words)
