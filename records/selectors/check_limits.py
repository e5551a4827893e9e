"""Which checks a pump is offered, and the limit of each: the site's own, else ours."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace

from plant.choices import Coupling, ImpellerKind, Mounting
from plant.models import Placement, Position, Pump
from plant.ratings import (
    BALANCE_GRADES,
    RatingError,
    permissible_unbalance_g_mm,
    short_coupling_gap_mm,
    short_coupling_offset_mm,
    spacer_angle_mrad,
    spacer_offset_mm,
)
from plant.ratings.alignment import AlignmentLimit
from records.check_catalogue import ANGLES, CATALOGUE
from records.check_choices import Certainty, CheckKind
from records.models import CheckLimit, Repair

HOT_FROM_C = 90.0
MORE_CLEARANCE_MM_PER_C = 0.05 / 50


@dataclass(frozen=True, slots=True)
class OfferedCheck:
    """A kind of check with the limit that holds; without one, `source` says why."""

    kind: CheckKind
    low: float | None
    high: float | None
    source: str
    certainty: Certainty

    @property
    def has_limit(self) -> bool:
        return self.low is not None or self.high is not None


def limits_for(positions: Iterable[Position]) -> dict[int, list[OfferedCheck]]:
    """Checks offered at each position for the pump that stands there now."""
    places = list(positions)
    pumps = {
        placement.position_id: placement.pump
        for placement in Placement.objects.filter(
            position__in=[place.pk for place in places], removed_at__isnull=True
        ).select_related("pump")
    }
    own = site_limits({place.site_id for place in places})
    return {
        place.pk: offered_checks(place, pumps.get(place.pk), own.get(place.site_id, []))
        for place in places
    }


def limits_of_repair(
    repair: Repair, rotor_mass_kg: float | None = None
) -> dict[CheckKind, OfferedCheck]:
    """The limit of every kind, offered or not, for the pump of a repair."""
    own = site_limits({repair.site_id}).get(repair.site_id, [])
    return {
        kind: limit_now(kind, repair.position, repair.pump, own, rotor_mass_kg)
        for kind in CheckKind
    }


def site_limits(sites: Iterable[int]) -> dict[int, list[CheckLimit]]:
    rows: dict[int, list[CheckLimit]] = defaultdict(list)
    for row in CheckLimit.objects.filter(site__in=sites):
        rows[row.site_id].append(row)
    return rows


def offered_checks(
    position: Position, pump: Pump | None, own: Iterable[CheckLimit]
) -> list[OfferedCheck]:
    rows = list(own)
    return [
        limit_now(kind, position, pump, rows)
        for kind in CheckKind
        if is_offered(kind, position, pump)
    ]


def is_offered(kind: CheckKind, position: Position, pump: Pump | None) -> bool:
    """Whether such a pump has what is measured; what is not known is offered."""
    mounting = pump.mounting if pump else ""
    impeller = pump.impeller_kind if pump else ""
    match kind:
        case CheckKind.DEFLECTION:
            return mounting in ("", Mounting.OVERHUNG)
        case CheckKind.SLEEVE_RUNOUT:
            return pump is None or pump.has_sleeve is not False
        case CheckKind.RUNNING_CLEARANCE:
            return impeller != ImpellerKind.CLOSED
        case CheckKind.WEAR_RING:
            return impeller in ("", ImpellerKind.CLOSED)
        case CheckKind.OFFSET | CheckKind.ANGULARITY | CheckKind.PIPE_STRAIN:
            return position.coupling != Coupling.CLOSE
        case CheckKind.SOFT_FOOT:
            return mounting != Mounting.VERTICAL
    return True


def limit_now(
    kind: CheckKind,
    position: Position,
    pump: Pump | None,
    own: Iterable[CheckLimit],
    rotor_mass_kg: float | None = None,
) -> OfferedCheck:
    """The site's limit that names most of this pump, else the one we ship."""
    fitting = [row for row in own if row.kind == kind and _fits(row, pump)]
    if fitting:
        row = max(fitting, key=lambda row: (bool(row.design) + bool(row.size), row.pk))
        return OfferedCheck(
            kind, row.low, row.high, row.source, Certainty(row.certainty)
        )
    return _shipped(kind, position, rotor_mass_kg)


def _fits(row: CheckLimit, pump: Pump | None) -> bool:
    design, size = (pump.design, pump.size) if pump else ("", "")
    return _blank_or_same(row.design, design) and _blank_or_same(row.size, size)


def _blank_or_same(wanted: str, found: str) -> bool:
    return not wanted or wanted.strip().casefold() == found.strip().casefold()


def _shipped(
    kind: CheckKind, position: Position, rotor_mass_kg: float | None
) -> OfferedCheck:
    described = CATALOGUE[kind]
    plain = OfferedCheck(
        kind,
        described.default_low,
        described.default_high,
        described.source,
        described.certainty,
    )
    match kind:
        case CheckKind.OFFSET | CheckKind.ANGULARITY:
            return _aligned(plain, position)
        case CheckKind.BALANCE:
            return _balanced(plain, position, rotor_mass_kg)
        case CheckKind.RUNNING_CLEARANCE:
            return _when_hot(plain, position)
    return plain


def _aligned(plain: OfferedCheck, position: Position) -> OfferedCheck:
    """By speed and coupling; what is missing for it is said instead."""
    speed, spacer = position.speed_rpm, position.spacer_length_mm
    if not position.coupling or position.coupling == Coupling.CLOSE:
        return replace(plain, source="No limit: the coupling is not recorded.")
    if not speed:
        return replace(plain, source="No limit: the speed is not recorded.")
    is_spacer = position.coupling == Coupling.SPACER
    try:
        if plain.kind == CheckKind.ANGULARITY:
            limit = (
                spacer_angle_mrad(speed)
                if is_spacer
                else short_coupling_gap_mm(speed, 100)
            )
            factor = ANGLES["mrad"] if is_spacer else 1.0
        elif is_spacer and not spacer:
            missing = "No limit: the length of the spacer is not recorded."
            return replace(plain, source=missing)
        else:
            limit = (
                spacer_offset_mm(speed, spacer or 0)
                if is_spacer
                else short_coupling_offset_mm(speed)
            )
            factor = 1.0
    except RatingError as error:
        return replace(plain, source=f"No limit: {error}")
    return _by_table(plain, limit, factor, speed)


def _by_table(
    plain: OfferedCheck, limit: AlignmentLimit, factor: float, speed: float
) -> OfferedCheck:
    excellent = round(limit.excellent * factor, 4)
    source = (
        f"{limit.acceptable.source}, at {speed:,.0f} r/min; "
        f"excellent up to {excellent:g} {CATALOGUE[plain.kind].unit}"
    )
    return replace(plain, high=round(limit.acceptable * factor, 4), source=source)


def _balanced(
    plain: OfferedCheck, position: Position, mass_kg: float | None
) -> OfferedCheck:
    speed, grade = position.speed_rpm, BALANCE_GRADES["general"]
    if not speed:
        return replace(plain, source="No limit: the speed is not recorded.")
    if not mass_kg:
        return replace(plain, source="No limit: give the mass of the rotor to get one.")
    try:
        limit = permissible_unbalance_g_mm(grade, mass_kg, speed)
    except RatingError as error:
        return replace(plain, source=f"No limit: {error}")
    source = (
        f"{limit.source}, G{float(grade):g}, {mass_kg:g} kg at {speed:,.0f} r/min, "
        "both planes together"
    )
    return replace(plain, high=round(limit, 2), source=source)


def _when_hot(plain: OfferedCheck, position: Position) -> OfferedCheck:
    """A hot pump is set wider while cold."""
    temperature = position.temperature_c
    if temperature is None or temperature <= HOT_FROM_C:
        return plain
    more = round((temperature - HOT_FROM_C) * MORE_CLEARANCE_MM_PER_C, 3)
    return replace(
        plain,
        low=round((plain.low or 0) + more, 3),
        high=round((plain.high or 0) + more, 3),
        source=f"{plain.source}; {more:g} mm more for {temperature:g} °C",
        certainty=Certainty.PRACTICE,
    )
