"""Checks the components sheet: one fitted life a row."""

from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from plant.choices import Beginning, Component, ConditionFitted
from records.importing.endings import Contradiction, ending_facts
from records.importing.known import PumpKey
from records.importing.locations import RIGHT, location_of
from records.importing.moments import placed
from records.importing.plan import LifePlan, SheetSummary
from records.importing.pumps import day_of
from records.importing.references import Findings
from records.importing.rows import Values

SHEET = "components"
SEAL_FIELDS = (
    "arrangement",
    "kind",
    "flexible_element",
    "faces",
    "secondary_seal",
    "piping_plan",
)
BEARING_FIELDS = (
    "designation",
    "bearing_arrangement",
    "lubrication",
    "dynamic_rating_kn",
    "dynamic_rating_source",
    "load_kn",
)
OTHER_FIELDS = (
    "beginning",
    "age_at_entry_days",
    "age_at_entry_hours",
    "fitted_hours",
    "removed_hours",
    "fitted_starts",
    "removed_starts",
    "condition_fitted",
    "serial",
    "part_number",
)
ONLY_WHEN_REMOVED = (
    "reason_out",
    "failed_on",
    "defect_detected",
    "condition_found",
    "removed_hours",
    "removed_starts",
)
LifeKey = tuple[PumpKey, str, datetime]


@dataclass(slots=True)
class ComponentRows:
    """Takes the rows one by one; comparing with stored lives comes afterwards."""

    findings: Findings
    summary: SheetSummary
    now: datetime
    plans: dict[LifeKey, LifePlan] = field(default_factory=dict)

    def fault(self, row: int, column: str, value: object, right: str) -> None:
        self.findings.report.fault(SHEET, row, column, value, right)

    def note(self, sentence: str) -> None:
        self.findings.report.note(SHEET, sentence)

    def take(self, row: int, values: Values) -> None:
        unclear = {"maker", "location", "fitted_on", "beginning"} & set(values.faulty)
        if not {"serial_number", "component"} <= values.keys() or unclear:
            return
        pump = self.findings.pump(SHEET, row, values)
        if pump is None:
            return
        known = self.findings.known
        self.findings.plan.sites_concerned.add(known.pumps[pump].site.name)
        location = self._location(row, values, known.pumps[pump].design)
        zone = known.zone_of(known.pumps[pump].site)
        fitted_at = self._fitted_at(row, values, pump, zone)
        if location is None or fitted_at is None:
            return
        removed_at = self._removed_at(row, values, fitted_at, zone)
        if removed_at is not None and removed_at < fitted_at:
            right = f"It was fitted only on {values.get('fitted_on')}: correct one."
            self.fault(row, "removed_on", values["removed_on"], right)
            return
        given = self._given(row, values)
        given |= self._moments(row, values, fitted_at, removed_at, zone)
        given |= self._ending(row, values)
        self._hours_check(row, values)
        plan = LifePlan(
            row, pump, values["component"], location, fitted_at, removed_at, given
        )
        earlier = self.plans.setdefault((pump, location, fitted_at), plan)
        if earlier is not plan:
            right = f"Row {earlier.row} fits one at the same place and time: keep one."
            self.fault(row, "fitted_on", values.get("fitted_on", ""), right)

    def _location(self, row: int, values: Values, design: str) -> str | None:
        words = values.get("location", "")
        location = location_of(values["component"], words, design)
        if location is None:
            right = RIGHT[Component(values["component"])]
            self.fault(row, "location", words, right)
        return location

    def _fitted_at(
        self, row: int, values: Values, pump: PumpKey, zone: ZoneInfo
    ) -> datetime | None:
        beginning = values.get("beginning")
        if "fitted_on" in values:
            if beginning is None:
                values["beginning"] = Beginning.KNOWN
                self.note(
                    "beginning is blank: read as known, since fitted_on is given."
                )
            return self._not_in_future(
                row, "fitted_on", placed(values["fitted_on"], zone)
            )
        if beginning != Beginning.UNKNOWN:
            right = (
                "Give the day its records begin, with its age on that day."
                if beginning == Beginning.AGE_KNOWN
                else "Give the day it was fitted, or write unknown under beginning."
            )
            self.fault(row, "fitted_on", "", right)
            return None
        return self._stand_in(row, values, pump, zone)

    def _stand_in(
        self, row: int, values: Values, pump: PumpKey, zone: ZoneInfo
    ) -> datetime | None:
        """The day that stands for an unknown fitting: the pump's placement or log."""
        known = self.findings.known
        removed = values.get("removed_on")
        before = placed(removed, zone) if removed is not None else self.now
        begins = [
            plan.placed_at
            for plan in known.by_pump.get(pump, ())
            if plan.placed_at <= before
        ]
        if begins:
            self.note("fitted_on is blank: the pump's placement stands for it.")
            return max(begins)
        holders = (known.pumps[pump], known.pumps[pump].site)
        for holder in holders:
            if holder.records_from is not None:
                self.note("fitted_on is blank: the day of records_from stands for it.")
                return placed(holder.records_from, zone)
        right = "Give a day: the pump has no placement and no records_from."
        self.fault(row, "fitted_on", "", right)
        return None

    def _not_in_future(self, row: int, column: str, moment: datetime) -> datetime:
        if moment > self.now:
            right = "This lies in the future: enter what has happened."
            self.fault(row, column, day_of(moment), right)
        return moment

    def _removed_at(
        self, row: int, values: Values, fitted_at: datetime, zone: ZoneInfo
    ) -> datetime | None:
        if "removed_on" in values.faulty:
            return None
        if "removed_on" not in values:
            for name in ONLY_WHEN_REMOVED:
                if name in values:
                    right = "It is still in: give removed_on, or leave this blank."
                    self.fault(row, name, values[name], right)
            return None
        removed_at = placed(values["removed_on"], zone, not_before=fitted_at)
        return self._not_in_future(row, "removed_on", removed_at)

    def _given(self, row: int, values: Values) -> dict[str, Any]:
        """The plain fields that the row gives for this kind of component."""
        is_seal = values["component"] == Component.SEAL
        own, foreign = SEAL_FIELDS, BEARING_FIELDS
        if not is_seal:
            own, foreign = foreign, own
        ignored = [name for name in foreign if name in values]
        if ignored:
            kind = "a seal" if is_seal else "a bearing"
            self.note(f"{', '.join(ignored)} given for {kind}: ignored.")
        return {n: values[n] for n in (*OTHER_FIELDS, *own) if n in values}

    def _moments(
        self,
        row: int,
        values: Values,
        fitted_at: datetime,
        removed_at: datetime | None,
        zone: ZoneInfo,
    ) -> dict[str, datetime]:
        """First start and end, which lie between fitting and removal."""
        moments = {}
        for column, name in (("started_on", "started_at"), ("failed_on", "ended_at")):
            if column not in values or (name == "ended_at" and removed_at is None):
                continue
            moment = placed(values[column], zone, not_before=fitted_at)
            if moment < fitted_at:
                right = f"It was fitted only on {values.get('fitted_on')}: correct one."
            elif removed_at is not None and moment > removed_at:
                right = f"It was taken out on {values['removed_on']}: correct one."
            else:
                moments[name] = moment
                continue
            self.fault(row, column, values[column], right)
        return moments

    def _ending(self, row: int, values: Values) -> dict[str, Any]:
        if "removed_on" not in values:
            return {}
        reason, defect = values.get("reason_out"), values.get("defect_detected")
        is_blank = reason is None and "reason_out" not in values.faulty
        if is_blank and defect is None:
            self.note("removed_on without reason_out: the ending is not known.")
        try:
            return ending_facts(reason, defect, values.get("condition_found"))
        except Contradiction as contradiction:
            self.fault(row, "reason_out", reason, str(contradiction))
            return {}

    def _hours_check(self, row: int, values: Values) -> None:
        for begin, end in (
            ("fitted_hours", "removed_hours"),
            ("fitted_starts", "removed_starts"),
        ):
            if begin in values and values.get(end, values[begin]) < values[begin]:
                right = (
                    f"The counter stood at {values[begin]:g} at fitting: correct one."
                )
                self.fault(row, end, f"{values[end]:g}", right)
        both = ("age_at_entry_days", "age_at_entry_hours")
        ages = [name for name in both if name in values]
        beginning = values.get("beginning", Beginning.KNOWN)
        has_faulty = set(both) & set(values.faulty)
        if beginning == Beginning.AGE_KNOWN and not ages and not has_faulty:
            right = "Give age_at_entry_days or age_at_entry_hours with age known."
            self.fault(row, "age_at_entry_days", "", right)
        refitted = values.get("condition_fitted") == ConditionFitted.REFITTED
        if ages and beginning != Beginning.AGE_KNOWN and not refitted:
            right = "An age goes with beginning age known or condition_fitted refitted."
            self.fault(row, ages[0], values[ages[0]], right)
