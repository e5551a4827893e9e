"""What storing would write: new rows, changed rows, and how many of each sheet."""

from dataclasses import dataclass, field
from datetime import datetime
from decimal import Decimal
from typing import Any

from plant.models import (
    Area,
    DutyPeriod,
    Placement,
    Position,
    Pump,
    Site,
    SpareGroup,
)
from records.importing.known import PlacementPlan, PositionKey, PumpKey

SAMPLES = 5


@dataclass(slots=True)
class LifePlan:
    """A fitted life from one row, its fields as the file gives or implies them."""

    row: int
    pump: PumpKey
    component: str
    location: str
    fitted_at: datetime
    removed_at: datetime | None
    given: dict[str, Any]
    implied: dict[str, Any] = field(default_factory=dict)
    stored_pk: int | None = None


@dataclass(slots=True)
class RepairPlan:
    """A repair from one row, with its cost lines."""

    row: int
    number: str
    position: PositionKey
    pump: PumpKey | None
    reported_at: datetime
    stopped_at: datetime | None
    returned_at: datetime | None
    given: dict[str, Any]
    costs: list[tuple[str, Decimal]]
    ledger: dict[str, Any]
    pump_is_given: bool = False
    is_stored: bool = False


@dataclass(slots=True)
class SheetSummary:
    """Counts for the preview, and a few rows to look at."""

    rows: int = 0
    new: int = 0
    changed: int = 0
    unchanged: int = 0
    samples: list[dict[str, Any]] = field(default_factory=list)
    _sampled: dict[str, int] = field(default_factory=dict)

    def count(self, outcome: str, row: int, name: str, what: str = "") -> None:
        """Count one row as new, changed or unchanged; keep the first as samples."""
        setattr(self, outcome, getattr(self, outcome) + 1)
        seen = self._sampled.get(outcome, 0)
        if outcome != "unchanged" and seen < SAMPLES:
            self._sampled[outcome] = seen + 1
            self.samples.append(
                {"outcome": outcome, "row": row, "name": name, "what": what}
            )

    def as_json(self) -> dict[str, Any]:
        names = ("rows", "new", "changed", "unchanged", "samples")
        return {name: getattr(self, name) for name in names}


@dataclass(slots=True)
class Plan:
    """Unsaved rows in the order they are stored; changed ones with their fields."""

    sites: list[Site] = field(default_factory=list)
    areas: list[Area] = field(default_factory=list)
    spare_groups: list[SpareGroup] = field(default_factory=list)
    spare_groups_changed: list[SpareGroup] = field(default_factory=list)
    positions: list[Position] = field(default_factory=list)
    positions_changed: dict[int, Position] = field(default_factory=dict)
    duties: list[DutyPeriod] = field(default_factory=list)
    duties_changed: dict[int, DutyPeriod] = field(default_factory=dict)
    pumps: list[Pump] = field(default_factory=list)
    pumps_changed: dict[int, Pump] = field(default_factory=dict)
    placements: list[PlacementPlan] = field(default_factory=list)
    placements_changed: list[Placement] = field(default_factory=list)
    lives: list[LifePlan] = field(default_factory=list)
    lives_changed: dict[int, dict[str, Any]] = field(default_factory=dict)
    repairs: list[RepairPlan] = field(default_factory=list)
    sites_concerned: set[str] = field(default_factory=set)
    summary: dict[str, SheetSummary] = field(default_factory=dict)

    @property
    def rows_to_write(self) -> int:
        return sum(
            len(rows)
            for rows in (
                self.positions,
                self.positions_changed,
                self.pumps,
                self.pumps_changed,
                self.placements,
                self.placements_changed,
                self.lives,
                self.lives_changed,
                self.repairs,
            )
        )
