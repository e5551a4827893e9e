"""What the database holds and the file adds, by natural key, without a query a row."""

from dataclasses import dataclass, field
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from django.conf import settings
from django.db import models

from plant.access import may, sites_visible
from plant.models import (
    Area,
    DutyPeriod,
    Placement,
    Position,
    Pump,
    Site,
    SpareGroup,
    User,
)

PositionKey = tuple[str, str]
PumpKey = tuple[str, str]
FAR_FUTURE = datetime(9999, 1, 1, tzinfo=UTC)


@dataclass(slots=True)
class PlacementPlan:
    """A pump at a position, stored (row 0) or from a row of the file."""

    row: int
    pump: PumpKey
    position: PositionKey
    placed_at: datetime
    removed_at: datetime | None
    stored: Placement | None = None

    def holds(self, at: datetime) -> bool:
        return self.placed_at <= at and (
            self.removed_at is None or self.removed_at > at
        )


@dataclass(slots=True)
class Known:
    """Register by site name, tag and serial number, as it will be after the import."""

    by: User
    sites: dict[str, Site] = field(default_factory=dict)
    own_sites: set[str] = field(default_factory=set)
    may_add_sites: bool = False
    areas: dict[tuple[str, str], Area] = field(default_factory=dict)
    spare_groups: dict[tuple[str, str], SpareGroup] = field(default_factory=dict)
    positions: dict[PositionKey, Position] = field(default_factory=dict)
    sites_of_tag: dict[str, list[str]] = field(default_factory=dict)
    duties: dict[PositionKey, list[DutyPeriod]] = field(default_factory=dict)
    pumps: dict[PumpKey, Pump] = field(default_factory=dict)
    makers_of_serial: dict[str, list[str]] = field(default_factory=dict)
    by_pump: dict[PumpKey, list[PlacementPlan]] = field(default_factory=dict)
    by_position: dict[PositionKey, list[PlacementPlan]] = field(default_factory=dict)
    zones: dict[str, ZoneInfo] = field(default_factory=dict)
    # Named by rows that have a fault of their own: no second fault for what refers
    # to them.
    unclear_tags: set[str] = field(default_factory=set)
    unclear_serials: set[str] = field(default_factory=set)

    def position_add(self, position: Position) -> None:
        site = position.site.name
        self.positions[site, position.tag] = position
        self.sites_of_tag.setdefault(position.tag, []).append(site)

    def pump_add(self, pump: Pump) -> None:
        self.pumps[pump.maker, pump.serial_number] = pump
        self.makers_of_serial.setdefault(pump.serial_number, []).append(pump.maker)

    def placement_add(self, plan: PlacementPlan) -> None:
        self.by_pump.setdefault(plan.pump, []).append(plan)
        self.by_position.setdefault(plan.position, []).append(plan)

    def zone_of(self, site: Site) -> ZoneInfo:
        zone = self.zones.get(site.time_zone)
        if zone is None:
            zone = self.zones[site.time_zone] = ZoneInfo(site.time_zone)
        return zone

    def position_of(self, pump: PumpKey, at: datetime) -> PositionKey | None:
        """Where the pump stood at that moment; None in the store."""
        for plan in self.by_pump.get(pump, ()):
            if plan.holds(at):
                return plan.position
        return None

    def pump_at(self, position: PositionKey, at: datetime) -> PumpKey | None:
        for plan in self.by_position.get(position, ()):
            if plan.holds(at):
                return plan.pump
        return None

    def next_placement_of(
        self, pump: PumpKey, after: datetime, before: datetime | None
    ) -> PlacementPlan | None:
        """Where a pump in the store went next; None when it stayed there."""
        coming = [
            plan
            for plan in self.by_pump.get(pump, ())
            if after < plan.placed_at < (before or FAR_FUTURE)
        ]
        return min(coming, key=lambda plan: plan.placed_at, default=None)

    def duty_of(self, position: PositionKey, at: datetime) -> DutyPeriod | None:
        """The dated facts that held there on that day."""
        # A life fitted at local midnight begins on the eve in UTC.
        day = at.astimezone(self.zone_of(self.positions[position].site)).date()
        held = [d for d in self.duties.get(position, ()) if d.starts_on <= day]
        return max(held, key=lambda duty: duty.starts_on) if held else None


def known_load(by: User) -> Known:
    """Everything of the user's sites that rows can refer to; a fixed query count."""
    known = Known(by)
    known.sites = {site.name: site for site in Site.objects.all()}
    known.own_sites = set(sites_visible(by).values_list("name", flat=True))
    known.may_add_sites = (
        by.is_superuser or by.sees_all_sites or may(by, "plant.administer_site")
    )
    own = Site.objects.filter(name__in=known.own_sites)
    for area in Area.objects.filter(site__in=own).select_related("site"):
        known.areas[area.site.name, area.name] = area
    for group in SpareGroup.objects.filter(site__in=own).select_related("site"):
        known.spare_groups[group.site.name, group.name] = group
    for position in Position.objects.filter(site__in=own).select_related(
        "site", "area", "spare_group"
    ):
        known.position_add(position)
    for duty in DutyPeriod.objects.filter(position__site__in=own).select_related(
        "position__site"
    ):
        key = (duty.position.site.name, duty.position.tag)
        known.duties.setdefault(key, []).append(duty)
    # Serial numbers are unique beyond sites, so pumps of other sites are seen too.
    for pump in Pump.objects.select_related("site"):
        known.pump_add(pump)
    _placements_load(known, own)
    return known


def _placements_load(known: Known, own: models.QuerySet[Site]) -> None:
    rows = Placement.objects.filter(position__site__in=own)
    for stored in rows.select_related("pump", "position__site"):
        known.placement_add(
            PlacementPlan(
                0,
                (stored.pump.maker, stored.pump.serial_number),
                (stored.position.site.name, stored.position.tag),
                stored.placed_at,
                stored.removed_at,
                stored,
            )
        )


def site_new(name: str) -> Site:
    return Site(name=name, time_zone=settings.TIME_ZONE)
