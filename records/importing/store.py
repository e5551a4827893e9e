"""Writes a checked fleet: one transaction, in bulk, with history, all or nothing."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, TypeVar

from django.core.exceptions import ValidationError
from django.db import IntegrityError, models, transaction
from django.utils import timezone

from plant.access import require
from plant.models import (
    Area,
    DutyPeriod,
    FittedLife,
    Placement,
    Position,
    Pump,
    Site,
    SpareGroup,
    User,
)
from records.importing import positions, pumps, repair_rows
from records.importing.bulk import in_chunks, rows_create, rows_update
from records.importing.check import CheckedFleet
from records.importing.known import Known
from records.importing.links import changes_link
from records.importing.plan import LifePlan, Plan
from records.importing.report import Progress
from records.services.correction_door import correction_door

Row = TypeVar("Row", bound=models.Model)


def store_fleet(
    checked: CheckedFleet, *, by: User, progress: Progress | None = None
) -> dict[str, dict[str, Any]]:
    """Carry out the plan of a check without faults; the summary of what was done.

    Check and store belong into one transaction where others write as well; else a
    change between the two is refused here by the database's own constraints.

    Raises
    ------
    PermissionDenied
        When `by` may not import.
    ValidationError
        When the check found faults, or the database changed since.
    """
    require(by, "records.import_fleet")
    if checked.fault_count:
        raise ValidationError("An import with faults is not stored: mend them first.")
    writing = _Writing(checked.plan, checked.known, by, progress, timezone.now())
    try:
        # Imported repairs are signed, and blanks of lives that they ended are filled.
        with transaction.atomic(), correction_door():
            writing.run()
    except IntegrityError as error:
        raise ValidationError(
            "Somebody changed the same rows meanwhile; nothing was stored. "
            "Check the files again."
        ) from error
    return checked.summary


@dataclass(slots=True)
class _Writing:
    plan: Plan
    known: Known
    by: User
    progress: Progress | None
    at: datetime
    done: int = 0

    def run(self) -> None:
        self._sites()
        self._positions()
        self._pumps()
        self._lives_change()
        new_lives = self._lives()
        new_repairs = self._repairs()
        changed = set(self.plan.lives_changed)
        changes_link(
            sites=self.plan.sites_concerned,
            new_repairs=new_repairs,
            new_lives=new_lives | changed,
        )

    def _create(self, rows: Sequence[Row], model: type[Row]) -> list[Row]:
        return rows_create(rows, model, by=self.by, at=self.at)

    def _update(
        self, rows: Sequence[Row], model: type[Row], fields: Sequence[str]
    ) -> None:
        rows_update(rows, model, fields, by=self.by, at=self.at)

    def _count(self, rows: int, what: str) -> None:
        self.done += rows
        if self.progress:
            self.progress(self.done, self.plan.rows_to_write, what)

    def _sites(self) -> None:
        plan = self.plan
        self._create(plan.sites, Site)
        if plan.sites and not self.by.sees_all_sites:
            self.by.sites.add(*plan.sites)
        Area.objects.bulk_create(plan.areas)
        SpareGroup.objects.bulk_create(plan.spare_groups)
        SpareGroup.objects.bulk_update(plan.spare_groups_changed, ["needed_running"])

    def _positions(self) -> None:
        plan = self.plan
        self._create(plan.positions, Position)
        fields = (*positions.FIELDS, "hazards", "area", "spare_group")
        self._update(list(plan.positions_changed.values()), Position, fields)
        self._create(plan.duties, DutyPeriod)
        duties = list(plan.duties_changed.values())
        self._update(duties, DutyPeriod, ("running_share", "piping_plan"))
        self._count(len(plan.positions) + len(plan.positions_changed), "Positions")

    def _pumps(self) -> None:
        plan = self.plan
        self._create(plan.pumps, Pump)
        self._update(list(plan.pumps_changed.values()), Pump, pumps.FIELDS)
        # Closed before opened: the database holds one open placement at a place.
        self._update(plan.placements_changed, Placement, ("removed_at",))
        placements = [
            Placement(
                pump=self.known.pumps[row.pump],
                position=self.known.positions[row.position],
                placed_at=row.placed_at,
                removed_at=row.removed_at,
            )
            for row in plan.placements
        ]
        self._create(placements, Placement)
        rows = len(plan.pumps) + len(plan.pumps_changed) + len(placements)
        self._count(rows + len(plan.placements_changed), "Pumps")

    def _lives_change(self) -> None:
        for chunk in in_chunks(list(self.plan.lives_changed)):
            lives = FittedLife.objects.in_bulk(chunk)
            fields: set[str] = set()
            for pk, changes in ((pk, self.plan.lives_changed[pk]) for pk in chunk):
                fields |= changes.keys()
                for name, value in changes.items():
                    setattr(lives[pk], name, value)
            self._update(list(lives.values()), FittedLife, sorted(fields))
            self._count(len(chunk), "Seals and bearings")

    def _lives(self) -> set[int]:
        made: set[int] = set()
        for chunk in in_chunks(self.plan.lives):
            lives = self._create([self._life(row) for row in chunk], FittedLife)
            made |= {life.pk for life in lives}
            self._count(len(chunk), "Seals and bearings")
        return made

    def _life(self, row: LifePlan) -> FittedLife:
        return FittedLife(
            pump=self.known.pumps[row.pump],
            component=row.component,
            location=row.location,
            fitted_at=row.fitted_at,
            removed_at=row.removed_at,
            **row.implied,
            **row.given,
        )

    def _repairs(self) -> set[int]:
        made: set[int] = set()
        for chunk in in_chunks(self.plan.repairs):
            made |= repair_rows.repairs_store(chunk, self.known, by=self.by, at=self.at)
            self._count(len(chunk), "Repairs")
        return made
