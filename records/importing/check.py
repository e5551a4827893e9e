"""Checks a whole fleet, sheet by sheet, and says what storing it would do."""

from collections.abc import Callable
from copy import deepcopy
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

from django.utils import timezone

from plant.access import require
from plant.models import User
from records.importing.components import ComponentRows
from records.importing.known import Known, known_load
from records.importing.layout import SHEETS
from records.importing.options import ReadOptions
from records.importing.plan import Plan, SheetSummary
from records.importing.positions import PositionRows
from records.importing.pumps import PumpRows
from records.importing.raw import RawFleet, RawTable
from records.importing.references import Findings
from records.importing.repairs import RepairRows
from records.importing.report import Fault, Progress, Report
from records.importing.rows import PROGRESS_EVERY, Values, rows_of
from records.importing.stored_lives import LivesCompare
from records.importing.stored_repairs import RepairsCompare

# Clocks and zones differ a little; a day ahead is not yet a wrong year.
FUTURE_TOLERANCE = timedelta(days=1)
Taker = Callable[[int, Values], None]


@dataclass(slots=True)
class CheckedFleet:
    """What a check found, and the plan that storing carries out."""

    report: Report
    plan: Plan
    known: Known

    @property
    def faults(self) -> list[Fault]:
        """The first thousand, in the order of the sheets."""
        return self.report.in_order(list(SHEETS))

    @property
    def fault_count(self) -> int:
        return self.report.fault_count

    @property
    def notes(self) -> list[str]:
        return self.report.notes

    @property
    def summary(self) -> dict[str, dict[str, Any]]:
        return {
            name: sheet.as_json()
            for name, sheet in self.plan.summary.items()
            if sheet.rows
        }


def check_fleet(
    raw: RawFleet,
    options: ReadOptions,
    *,
    by: User,
    progress: Progress | None = None,
) -> CheckedFleet:
    """Check every row against its column, its sheet, the other sheets and the database.

    Raises
    ------
    PermissionDenied
        When `by` may not import.
    """
    require(by, "records.import_fleet")
    findings = Findings(known_load(by), deepcopy(raw.report), Plan())
    checked = CheckedFleet(findings.report, findings.plan, findings.known)
    if not raw.tables and not raw.faults:
        right = "No file was given: choose at least one."
        findings.report.fault("", 0, "", "", right)
    run = _Run(raw, options, findings, progress)
    now = timezone.now() + FUTURE_TOLERANCE
    run.sheet("positions", PositionRows(findings, run.summary("positions")).take)
    pumps = PumpRows(findings, run.summary("pumps"), now)
    run.sheet("pumps", pumps.take)
    pumps.overlaps_check()
    lives = ComponentRows(findings, run.summary("components"), now)
    run.sheet("components", lives.take)
    LivesCompare(lives, findings).run()
    repairs = RepairRows(findings, run.summary("repairs"), now)
    run.sheet("repairs", repairs.take)
    RepairsCompare(repairs, findings).run()
    return checked


@dataclass(slots=True)
class _Run:
    """Walks through the sheets; a broken sheet stops what refers to it."""

    raw: RawFleet
    options: ReadOptions
    findings: Findings
    progress: Progress | None
    done: int = 0
    is_broken: bool = False

    def summary(self, sheet: str) -> SheetSummary:
        return self.findings.plan.summary.setdefault(sheet, SheetSummary())

    def sheet(self, name: str, take: Taker) -> None:
        table = self.raw.tables.get(name)
        if table is None:
            # A file that could not be read may be the one that later sheets need.
            self.is_broken = self.is_broken or bool(self.raw.faults)
            return
        self.summary(name).rows = len(table.rows)
        self.is_broken = self.is_broken or heading_is_broken(table)
        for row, values in rows_of(table, self.options, self.findings.report):
            if not self.is_broken:
                take(row, values)
            self.done += 1
            if self.progress and self.done % PROGRESS_EVERY == 0:
                self.progress(self.done, self.raw.row_count, f"Checking {name}")


def heading_is_broken(table: RawTable) -> bool:
    """Whether a required column is missing, so that rows cannot be told apart."""
    names = {name.strip().lower() for name in table.heading}
    return not names >= set(SHEETS[table.sheet].required)
