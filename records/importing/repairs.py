"""Checks the repairs sheet: one repair a row, with its costs."""

from dataclasses import dataclass, field
from datetime import datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

from records.choices import Category
from records.importing.known import PositionKey, PumpKey
from records.importing.layout import COST_COLUMNS
from records.importing.moments import placed
from records.importing.plan import RepairPlan, SheetSummary
from records.importing.references import Findings
from records.importing.rows import Values
from records.limits import (
    STOPPED_LONG_BEFORE,
    TOO_EARLY,
    is_long_before,
    is_too_early,
)

SHEET = "repairs"
FAILURES = (Category.CORRECTIVE, Category.CONDITION)
# column in the file -> field of the repair
FIELDS = {
    "work_class": "category",
    **{
        name: name
        for name in (
            "activity",
            "operating_state",
            "release",
            "failure_mode",
            "impact",
            "item",
            "mechanism",
            "cause",
            "detection",
            "active_hours",
            "delay_hours",
            "man_hours",
            "text",
            "permit_reference",
            "isolation_reference",
            "decontamination_reference",
        )
    },
}
LEDGER_FIELDS = {
    "currency": "currency",
    "cost_status": "status",
    "booked_on": "booked_on",
}
RepairKey = tuple[str, str]


@dataclass(slots=True)
class RepairRows:
    """Takes the rows one by one; comparing with stored repairs comes afterwards."""

    findings: Findings
    summary: SheetSummary
    now: datetime
    plans: dict[RepairKey, RepairPlan] = field(default_factory=dict)

    def fault(self, row: int, column: str, value: object, right: str) -> None:
        self.findings.report.fault(SHEET, row, column, value, right)

    def note(self, sentence: str) -> None:
        self.findings.report.note(SHEET, sentence)

    def take(self, row: int, values: Values) -> None:
        self._failure_mode_check(row, values)
        if not {"repair_number", "reported_at"} <= values.keys():
            return
        place = self._place(row, values)
        if place is None:
            return
        position, pump = place
        known = self.findings.known
        zone = known.zone_of(known.sites[position[0]])
        times = self._times(row, values, zone)
        plan = RepairPlan(
            row=row,
            number=values["repair_number"],
            position=position,
            pump=pump,
            reported_at=times["reported_at"],
            stopped_at=times.get("stopped_at"),
            returned_at=times.get("returned_at"),
            given={
                f: values[column] for column, f in FIELDS.items() if column in values
            },
            costs=self._costs(values),
            ledger={n: values[c] for c, n in LEDGER_FIELDS.items() if c in values},
            pump_is_given="serial_number" in values,
        )
        earlier = self.plans.setdefault((position[0], plan.number), plan)
        if earlier is not plan:
            right = f"This number is already in row {earlier.row}: give each its own."
            self.fault(row, "repair_number", plan.number, right)

    def _failure_mode_check(self, row: int, values: Values) -> None:
        # A faulty code has its own fault; this one is for a blank cell.
        is_there = "failure_mode" in values or "failure_mode" in values.faulty
        if values.get("work_class") in FAILURES and not is_there:
            right = "A failure needs a failure mode; UNK stands for not known."
            self.fault(row, "failure_mode", "", right)

    def _place(
        self, row: int, values: Values
    ) -> tuple[PositionKey, PumpKey | None] | None:
        """Tag and pump; what is blank follows from the placements of that time."""
        pump: PumpKey | None = None
        if {"tag", "serial_number", "site"} & set(values.faulty):
            return None
        if "serial_number" in values:
            pump = self.findings.pump(SHEET, row, values)
            if pump is None:
                return None
        if "tag" in values:
            position = self.findings.position(SHEET, row, values)
            if position is None:
                return None
            return self._with_pump(row, values, position, pump)
        if pump is None:
            self.fault(row, "tag", "", "Give the tag, or the pump's serial number.")
            return None
        site = self.findings.known.pumps[pump].site
        at = placed(values["reported_at"], self.findings.known.zone_of(site))
        found = self.findings.known.position_of(pump, at)
        if found is None:
            right = "Give the tag: the pump stood nowhere at that time."
            self.fault(row, "tag", "", right)
            return None
        self.findings.plan.sites_concerned.add(found[0])
        return found, pump

    def _with_pump(
        self, row: int, values: Values, position: PositionKey, pump: PumpKey | None
    ) -> tuple[PositionKey, PumpKey | None] | None:
        known = self.findings.known
        at = placed(values["reported_at"], known.zone_of(known.sites[position[0]]))
        if pump is None:
            pump = known.pump_at(position, at)
            if pump is None:
                self.note(
                    "no serial_number, and no pump stood at the tag when it was "
                    "reported: stored without a pump."
                )
            return position, pump
        if known.pumps[pump].site.name != position[0]:
            right = f"This pump belongs to {known.pumps[pump].site.name}: correct one."
            self.fault(row, "serial_number", pump[1], right)
            return None
        there = known.position_of(pump, at)
        if there is not None and there != position:
            right = f"Pump {pump[1]} stood at {there[1]} at that time: correct one."
            self.fault(row, "tag", position[1], right)
            return None
        return position, pump

    def _times(self, row: int, values: Values, zone: ZoneInfo) -> dict[str, datetime]:
        reported = placed(values["reported_at"], zone)
        times = {"reported_at": reported}
        if "stopped_at" in values:
            times["stopped_at"] = placed(values["stopped_at"], zone)
        if "returned_at" in values:
            if "stopped_at" not in times:
                self.note("returned_at without stopped_at: reported_at stands for it.")
                times["stopped_at"] = reported
            latest = max(reported, times["stopped_at"])
            returned = placed(values["returned_at"], zone, not_before=latest)
            if returned < latest:
                begin = "stopped" if times["stopped_at"] == latest else "reported"
                right = f"It was {begin} only on {values[begin + '_at']}: correct one."
                self.fault(row, "returned_at", values["returned_at"], right)
            else:
                times["returned_at"] = returned
        self._times_check(row, values, times)
        return times

    def _times_check(
        self, row: int, values: Values, times: dict[str, datetime]
    ) -> None:
        """Years that cannot be, those to come and those long gone."""
        for name, moment in times.items():
            if moment > self.now:
                right = "This lies in the future: enter what has happened."
                self.fault(row, name, values.get(name, ""), right)
            elif is_too_early(moment):
                self.fault(row, name, values.get(name, ""), TOO_EARLY)
            elif name == "stopped_at" and is_long_before(moment, times["reported_at"]):
                self.fault(row, name, values.get(name, ""), STOPPED_LONG_BEFORE)

    def _costs(self, values: Values) -> list[tuple[str, Decimal]]:
        return [
            (kind, values[column])
            for column, kind in COST_COLUMNS.items()
            if column in values
        ]
