"""Checks the pumps sheet: serial numbers and where each pump stands or stood."""

from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

from plant.models import Pump, Site
from records.importing.known import PlacementPlan, PositionKey, PumpKey
from records.importing.moments import placed
from records.importing.plan import SheetSummary
from records.importing.positions import changed
from records.importing.references import Findings
from records.importing.rows import Values
from records.importing.spans import Span, overlaps

SHEET = "pumps"
FIELDS = (
    "maker",
    "assembly",
    "design",
    "size",
    "casing_material",
    "shaft_overhang_mm",
    "shaft_diameter_mm",
    "retired_on",
    "records_from",
    "mounting",
    "impeller_kind",
    "has_sleeve",
)


@dataclass(slots=True)
class PumpRows:
    """Takes the rows one by one, then looks for placements that overlap."""

    findings: Findings
    summary: SheetSummary
    now: datetime
    given: dict[PumpKey, tuple[int, dict[str, Any]]] = field(default_factory=dict)
    placement_rows: dict[tuple[PumpKey, datetime], int] = field(default_factory=dict)

    def fault(self, row: int, column: str, value: object, right: str) -> None:
        self.findings.report.fault(SHEET, row, column, value, right)

    def take(self, row: int, values: Values) -> None:
        unclear = {"tag", "site", "maker", "placed_on"} & set(values.faulty)
        if "serial_number" not in values or unclear:
            serial = values.get("serial_number", "")
            self.findings.known.unclear_serials.add(serial)
            return
        known, position = self.findings.known, None
        if "tag" in values:
            position = self.findings.position(SHEET, row, values)
            if position is None:
                known.unclear_serials.add(values["serial_number"])
                return
        site = self._site(row, values, position)
        if site is None:
            known.unclear_serials.add(values["serial_number"])
            return
        key, is_new = self._pump(row, values, site)
        if key is None:
            return
        changes = self._fields_set(row, key, values, is_new)
        outcome = "new" if is_new else "changed" if changes else "unchanged"
        if position is not None:
            move = self._placement(row, key, position, values)
            changes += move
            if move and outcome == "unchanged":
                outcome = "changed"
        elif "placed_on" in values or "removed_on" in values:
            self.fault(row, "tag", "", "Give the tag where it was placed.")
        name = values["serial_number"]
        self.summary.count(outcome, row, name, "; ".join(changes))

    def _site(
        self, row: int, values: Values, position: PositionKey | None
    ) -> Site | None:
        known = self.findings.known
        if position is not None:
            return known.sites[position[0]]
        if "site" in values:
            return self.findings.own_site(SHEET, row, values["site"])
        keys = self.findings.pump_keys(values["serial_number"], values.get("maker"))
        if len(keys) == 1:
            site = known.pumps[keys[0]].site.name
            return self.findings.own_site(SHEET, row, site)
        if len(known.own_sites) == 1:
            return known.sites[next(iter(known.own_sites))]
        right = "A pump without a tag needs a column site that says where it belongs."
        self.fault(row, "tag", "", right)
        return None

    def _pump(
        self, row: int, values: Values, site: Site
    ) -> tuple[PumpKey | None, bool]:
        """The pump's key and whether this row makes it."""
        known = self.findings.known
        serial, maker = values["serial_number"], values.get("maker")
        keys = self.findings.pump_keys(serial, maker)
        if not keys and maker is not None:
            # The maker was not known before: the row fills it in.
            keys = self.findings.pump_keys(serial, "")
        if len(keys) > 1:
            right = "Several makers use this number: fill the column maker."
            self.fault(row, "maker", "", right)
            return None, False
        if not keys:
            pump = Pump(site=site, serial_number=serial, maker=maker or "")
            known.pump_add(pump)
            self.findings.plan.pumps.append(pump)
            return (pump.maker, serial), True
        if known.pumps[keys[0]].site.name != site.name:
            right = (
                f"This pump belongs to {known.pumps[keys[0]].site}, the tag to {site}: "
                "a pump stays at one site."
                if known.pumps[keys[0]].site.name in known.own_sites
                else "A pump with this number belongs to another site: add its maker."
            )
            self.fault(row, "serial_number", serial, right)
            return None, False
        return keys[0], False

    def _fields_set(
        self, row: int, key: PumpKey, values: Values, is_new: bool
    ) -> list[str]:
        """Set what the row gives; rows of one pump must not contradict each other."""
        pump = self.findings.known.pumps[key]
        first_row, earlier = self.given.setdefault(key, (row, {}))
        changes = []
        for name in FIELDS:
            if name not in values:
                continue
            if earlier.setdefault(name, values[name]) != values[name]:
                right = f"Row {first_row} says {earlier[name]}: make them agree."
                self.fault(row, name, values[name], right)
            elif getattr(pump, name) != values[name]:
                changes.append(changed(name, getattr(pump, name), values[name]))
                setattr(pump, name, values[name])
        if changes and pump.pk is not None:
            self.findings.plan.pumps_changed[pump.pk] = pump
        return [] if is_new else changes

    def _placement(
        self, row: int, key: PumpKey, position: PositionKey, values: Values
    ) -> list[str]:
        """Add or close a placement; the words of what changes, empty when nothing."""
        placed_at, removed_at = self._span(row, position, values)
        if placed_at is None:
            return []
        earlier = self.placement_rows.setdefault((key, placed_at), row)
        if earlier != row:
            right = f"Row {earlier} places this pump at the same time: keep one."
            self.fault(row, "placed_on", values.get("placed_on", ""), right)
            return []
        for plan in self.findings.known.by_pump.get(key, ()):
            if plan.placed_at == placed_at:
                return self._placement_meets(row, plan, position, removed_at)
        plan = PlacementPlan(row, key, position, placed_at, removed_at)
        self.findings.known.placement_add(plan)
        self.findings.plan.placements.append(plan)
        return [f"placed at {position[1]}"]

    def _placement_meets(
        self,
        row: int,
        plan: PlacementPlan,
        position: PositionKey,
        removed_at: datetime | None,
    ) -> list[str]:
        """Compare a row with the stored placement that begins at the same time."""
        if plan.position != position:
            right = f"The register has it at {plan.position[1]} from that time on."
            self.fault(row, "tag", position[1], right)
        elif removed_at is not None and plan.removed_at is None:
            plan.removed_at = removed_at
            plan.row = row
            if plan.stored is not None:
                plan.stored.removed_at = removed_at
                self.findings.plan.placements_changed.append(plan.stored)
            return [f"taken out of {position[1]}"]
        elif removed_at is not None and plan.removed_at != removed_at:
            right = "The register has another day: correct it there or here."
            self.fault(row, "removed_on", removed_at, right)
        return []

    def _span(
        self, row: int, position: PositionKey, values: Values
    ) -> tuple[datetime | None, datetime | None]:
        known = self.findings.known
        zone = known.zone_of(known.sites[position[0]])
        begin: date | None = values.get("placed_on")
        if begin is None:
            at_tag = known.positions[position]
            begin = at_tag.in_service_on or at_tag.records_from
            if begin is None:
                right = "Give the day it came to the tag; the tag has no in_service_on."
                self.fault(row, "placed_on", "", right)
                return None, None
            sentence = "no placed_on: the day the tag came into service stands for it."
            self.findings.report.note(SHEET, sentence)
        placed_at, removed_at = placed(begin, zone), None
        if "removed_on" in values:
            removed_at = placed(values["removed_on"], zone, not_before=placed_at)
            if removed_at < placed_at:
                right = f"It was placed only on {begin}: this must not be earlier."
                self.fault(row, "removed_on", values["removed_on"], right)
                return None, None
        for name, moment in (("placed_on", placed_at), ("removed_on", removed_at)):
            if moment is not None and moment > self.now:
                right = "This lies in the future: enter what has happened."
                self.fault(row, name, values.get(name, begin), right)
        return placed_at, removed_at

    def overlaps_check(self) -> None:
        """A pump is at one position at a time, and a position holds one pump."""
        known = self.findings.known
        pumps = {plan.pump for plan in self.findings.plan.placements}
        positions = {plan.position for plan in self.findings.plan.placements}
        pumps |= {key for key, _ in self.placement_rows}
        groups = [(known.by_pump.get(key, []), "pump") for key in sorted(pumps)]
        positions |= {plan.position for plans, _ in groups for plan in plans}
        groups += [(known.by_position[key], "position") for key in sorted(positions)]
        for plans, what in groups:
            spans = [Span(p.placed_at, p.removed_at, p.row, p) for p in plans]
            for late, early in overlaps(spans):
                self._overlap_fault(late.of, early.of, what)

    def _overlap_fault(
        self, late: PlacementPlan, early: PlacementPlan, what: str
    ) -> None:
        row, other = (late.row, early) if late.row else (early.row, late)
        this = late if late.row else early
        where = f"row {other.row}" if other.row else "the register"
        if what == "pump":
            tag = other.position[1]
            right = f"By {where} the pump is at {tag} then: a pump is at one place."
        else:
            serial = other.pump[1]
            right = f"By {where} pump {serial} is there then: a tag holds one pump."
        self.fault(row, "placed_on", day_of(this.placed_at), right)


def day_of(moment: datetime) -> Any:
    """A moment for a fault's value: as UTC, to the minute."""
    return moment.strftime("%Y-%m-%d %H:%M UTC")
