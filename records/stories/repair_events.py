"""One entry of a repair's history: when, who, what, and from what to what."""

from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from plant import display


@dataclass(frozen=True, slots=True)
class Change:
    name: str
    before: str
    after: str

    @property
    def was_blank(self) -> bool:
        return self.before == display.NO_VALUE


@dataclass(frozen=True, slots=True)
class Event:
    """One stored change: of the repair, or of what belongs to it."""

    at: datetime
    who: str
    what: str
    changes: list[Change] = field(default_factory=list)


def who_of(row: Any) -> str:
    return str(row.history_user) if row.history_user else "Not recorded"
