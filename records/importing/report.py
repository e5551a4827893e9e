"""What a check found: faults, which forbid storing, and notes, which do not."""

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field

FAULTS_KEPT = 1000
LONGEST_VALUE = 80

Progress = Callable[[int, int, str], None]


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that is wrong, where it stands, and what would be right."""

    sheet: str
    row: int
    column: str
    value: str
    right: str


@dataclass(slots=True)
class Report:
    """Counts every fault, keeps the first; counts equal notes instead of repeating."""

    faults: list[Fault] = field(default_factory=list)
    fault_count: int = 0
    tally: Counter[tuple[str, str]] = field(default_factory=Counter)
    _notes: Counter[tuple[str, str]] = field(default_factory=Counter)

    def fault(
        self, sheet: str, row: int, column: str, value: object, right: str
    ) -> None:
        self.fault_count += 1
        self.tally[sheet, column] += 1
        if len(self.faults) < FAULTS_KEPT:
            shown = "" if value is None else str(value)
            if len(shown) > LONGEST_VALUE:
                shown = shown[:LONGEST_VALUE] + "…"
            self.faults.append(Fault(sheet, row, column, shown, right))

    def note(self, sheet: str, sentence: str, rows: int = 1) -> None:
        """`sentence` follows "sheet, 12 rows: "."""
        self._notes[sheet, sentence] += rows

    @property
    def notes(self) -> list[str]:
        return [
            f"{sheet}, {rows} {'row' if rows == 1 else 'rows'}: {sentence}"
            if rows
            else f"{sheet}: {sentence}"
            for (sheet, sentence), rows in self._notes.items()
        ]

    def in_order(self, sheets: list[str]) -> list[Fault]:
        place = {sheet: order for order, sheet in enumerate(sheets)}
        return sorted(self.faults, key=lambda f: (place.get(f.sheet, -1), f.row))
