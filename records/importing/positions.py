"""Checks the positions sheet: sites, areas, tags, and the duty that holds there."""

from dataclasses import dataclass, field
from datetime import date
from typing import Any

from plant.models import Area, DutyPeriod, Position, Site, SpareGroup
from records.importing.known import PositionKey, site_new
from records.importing.plan import SheetSummary
from records.importing.references import Findings
from records.importing.rows import Values
from records.importing.twins import AREA, SITE, TAG, Twins

SHEET = "positions"
FIELDS = (
    "service",
    "liquid",
    "criticality",
    "sparing",
    "stopped_cost_per_hour",
    "buffer_hours",
    "output_share_lost",
    "flow_m3_h",
    "head_m",
    "speed_rpm",
    "power_kw",
    "temperature_c",
    "density_kg_m3",
    "bep_flow_m3_h",
    "in_service_on",
    "out_of_service_on",
    "records_from",
    "coupling",
    "spacer_length_mm",
    "vibration_category",
)
BEFORE_ALL_RECORDS = date(1970, 1, 1)


@dataclass(slots=True)
class PositionRows:
    """Takes the rows one by one; the register grows with them."""

    findings: Findings
    summary: SheetSummary
    rows: dict[PositionKey, int] = field(default_factory=dict)
    group_rows: dict[tuple[str, str], tuple[int, int]] = field(default_factory=dict)
    twins: Twins = field(init=False)

    def __post_init__(self) -> None:
        self.twins = Twins(self.findings.known)

    def fault(self, row: int, column: str, value: object, right: str) -> None:
        self.findings.report.fault(SHEET, row, column, value, right)

    def take(self, row: int, values: Values) -> None:
        if not {"site", "area", "tag"} <= values.keys():
            self.findings.known.unclear_tags.add(values.get("tag", ""))
            return
        site = self._site(row, values["site"])
        if site is None:
            self.findings.known.unclear_tags.add(values["tag"])
            return
        key = (site.name, values["tag"])
        if key in self.rows:
            right = f"This tag is already in row {self.rows[key]}: keep one of the two."
            self.fault(row, "tag", values["tag"], right)
            return
        is_new = key not in self.findings.known.positions
        if is_new and self._is_twin(row, TAG, site.name, values["tag"]):
            self.findings.known.unclear_tags.add(values["tag"])
            return
        self.rows[key] = row
        self.findings.plan.sites_concerned.add(site.name)
        self._store(row, site, key, values)

    def _is_twin(self, row: int, what: str, site: str, name: str) -> bool:
        """Whether a new name is another one in other letters, which is a fault."""
        other = self.twins.of(what, site, name)
        if other is None:
            return False
        right = f"This differs from {other} only by capital letters: write it so."
        self.fault(row, what, name, right)
        return True

    def _store(self, row: int, site: Site, key: PositionKey, values: Values) -> None:
        known, plan = self.findings.known, self.findings.plan
        area = self._area(row, site, values["area"])
        position = known.positions.get(key)
        is_new = position is None
        if position is None:
            position = Position(site=site, area=area, tag=values["tag"])
            known.position_add(position)
            plan.positions.append(position)
        changes = self._fields_set(position, values)
        if position.area.name != area.name:
            changes.append(f"area: {position.area.name} → {area.name}")
            position.area = area
        changes += self._group_set(row, site, position, values)
        if changes and not is_new:
            plan.positions_changed[position.pk] = position
        self._dates_check(row, position)
        changes += self._duty_set(row, key, position, values, is_new)
        outcome = "new" if is_new else "changed" if changes else "unchanged"
        what = position.service if is_new else "; ".join(changes)
        self.summary.count(outcome, row, position.tag, what)

    def _site(self, row: int, name: str) -> Site | None:
        known = self.findings.known
        if name in known.sites:
            return self.findings.own_site(SHEET, row, name)
        if not known.may_add_sites:
            right = "There is no such site, and you may not add one: correct the name."
            self.fault(row, "site", name, right)
            return None
        if self._is_twin(row, SITE, "", name):
            return None
        site = known.sites[name] = site_new(name)
        known.own_sites.add(name)
        self.findings.plan.sites.append(site)
        words = f"its clock is {site.time_zone}, its currency {site.currency}"
        self.findings.report.note(
            SHEET, f"site {name} was not known before; {words}.", 0
        )
        return site

    def _area(self, row: int, site: Site, name: str) -> Area:
        areas = self.findings.known.areas
        area = areas.get((site.name, name))
        if area is None:
            self._is_twin(row, AREA, site.name, name)
            area = areas[site.name, name] = Area(site=site, name=name)
            self.findings.plan.areas.append(area)
        return area

    def _fields_set(self, position: Position, values: Values) -> list[str]:
        """Set what the row gives; a blank cell leaves what is stored."""
        changes = []
        for name in FIELDS:
            if name in values and getattr(position, name) != values[name]:
                changes.append(changed(name, getattr(position, name), values[name]))
                setattr(position, name, values[name])
        hazards = values.get("hazards")
        if hazards is not None and set(hazards) != set(position.hazards):
            changes.append(changed("hazards", position.hazards, hazards))
            position.hazards = list(hazards)
        return changes

    def _group_set(
        self, row: int, site: Site, position: Position, values: Values
    ) -> list[str]:
        name, needed = values.get("spare_group"), values.get("needed_running")
        if name is None:
            if needed is not None:
                right = "Name the spare_group that needs so many running."
                self.fault(row, "needed_running", needed, right)
            return []
        known, plan = self.findings.known, self.findings.plan
        key = (site.name, name)
        group = known.spare_groups.get(key)
        if group is None:
            group = SpareGroup(site=site, name=name, needed_running=needed or 1)
            known.spare_groups[key] = group
            plan.spare_groups.append(group)
        changes = []
        if needed is not None:
            self._needed_check(row, key, needed)
            if group.needed_running != needed and group.pk is not None:
                changes.append(changed("needed_running", group.needed_running, needed))
                plan.spare_groups_changed.append(group)
            group.needed_running = needed
        before = position.spare_group
        if before is None or before.name != name:
            changes.append(changed("spare_group", before, name))
            position.spare_group = group
        return changes

    def _needed_check(self, row: int, key: tuple[str, str], needed: int) -> None:
        earlier, number = self.group_rows.setdefault(key, (row, needed))
        if number != needed:
            right = f"Row {earlier} says {number} for this group: make them agree."
            self.fault(row, "needed_running", needed, right)

    def _dates_check(self, row: int, position: Position) -> None:
        begin, end = position.in_service_on, position.out_of_service_on
        if begin and end and end < begin:
            right = f"It came into service only on {begin}: this must not be earlier."
            self.fault(row, "out_of_service_on", end, right)

    def _duty_set(
        self,
        row: int,
        key: PositionKey,
        position: Position,
        values: Values,
        is_new: bool,
    ) -> list[str]:
        """Put running share and piping plan into the period they belong to."""
        given = {n: values[n] for n in ("running_share", "piping_plan") if n in values}
        if not given:
            return []
        begin = position.in_service_on or position.records_from or BEFORE_ALL_RECORDS
        if begin == BEFORE_ALL_RECORDS:
            self.findings.report.note(
                SHEET,
                "no in_service_on or records_from: running share and piping plan hold "
                "from 1970-01-01 on.",
            )
        periods = self.findings.known.duties.setdefault(key, [])
        period = self._period(periods, begin)
        if period is None:
            period = DutyPeriod(position=position, starts_on=begin, **given)
            periods.append(period)
            self.findings.plan.duties.append(period)
            return [] if is_new else [changed(n, None, v) for n, v in given.items()]
        changes = []
        for name, value in given.items():
            if getattr(period, name) != value:
                changes.append(changed(name, getattr(period, name), value))
                setattr(period, name, value)
        if changes:
            self.findings.plan.duties_changed[period.pk] = period
        return changes

    def _period(self, periods: list[DutyPeriod], begin: date) -> DutyPeriod | None:
        """The period that begins on that day, else the newest one."""
        for period in periods:
            if period.starts_on == begin:
                return period
        return max(periods, key=lambda p: p.starts_on) if periods else None


def changed(name: str, before: Any, after: Any) -> str:
    """One change for the preview: liquid: water → brine."""
    return f"{name}: {shown(before)} → {shown(after)}"


def shown(value: Any) -> str:
    if value is None or value == "" or value == []:
        return "blank"
    if isinstance(value, list | tuple):
        return ";".join(str(part) for part in value)
    return f"{value:g}" if isinstance(value, float) else str(value)
