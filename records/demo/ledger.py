"""Writes what happens in the demo plant as rows of the import layout."""

from dataclasses import dataclass, field
from datetime import datetime

import numpy as np

from records.demo import parts, truths
from records.demo.repair_rows import RepairWriter
from records.demo.state import DAYS, Machine, Part, Span, Spot, moment

LOCATIONS = {
    "seal": "single inner",
    "radial bearing": "non-drive end",
    "thrust bearing": "thrust",
}
CONDITIONS = ("good", "good", "worn", "not inspected")
BEFORE_THE_LOG = -1_500.0


@dataclass(slots=True)
class Ledger:
    """Rows of pumps, components and repairs in the order in which they arose."""

    rng: np.random.Generator
    start: datetime
    pumps: list[dict[str, str]] = field(default_factory=list)
    components: list[dict[str, str]] = field(default_factory=list)
    repairs: RepairWriter = field(init=False)

    def __post_init__(self) -> None:
        self.repairs = RepairWriter(rng=self.rng, start=self.start)

    # pumps ------------------------------------------------------------------

    def machine_row(self, machine: Machine) -> dict[str, str]:
        row = {
            "serial_number": machine.serial,
            "assembly": machine.assembly,
            "design": "overhung end suction",
            "size": machine.size,
            "casing_material": "duplex stainless steel",
            "shaft_overhang_mm": str(machine.overhang_mm),
            "shaft_diameter_mm": str(machine.shaft_mm),
            "mounting": "overhung",
            "impeller_kind": "semi-open" if machine.is_small else "closed",
            "has_sleeve": "no" if machine.is_small else "yes",
        }
        self.pumps.append(row)
        return row

    def machine_placed(self, machine: Machine, spot: Spot, day: float) -> None:
        row = self.machine_row(machine)
        placed = day if day > 0 else BEFORE_THE_LOG
        row |= {"tag": spot.tag, "placed_on": moment(self.start, placed)}

    def machine_in_store(self, machine: Machine) -> None:
        self.machine_row(machine)

    def machine_moves(
        self, leaving: Machine, coming: Machine, spot: Spot, day: float
    ) -> None:
        for row in self.pumps:
            if row["serial_number"] == leaving.serial and row.get("tag") == spot.tag:
                row.setdefault("removed_on", moment(self.start, day))
        self.machine_placed(coming, spot, day)

    # seals and bearings -------------------------------------------------------

    def part_open(
        self,
        spot: Spot,
        machine: Machine,
        component: str,
        day: float,
        age: float | None,
    ) -> Part:
        """A row for a part from its fitting on; `age` marks one from before the log."""
        row = {
            "serial_number": machine.serial,
            "component": component,
            "location": LOCATIONS[component],
        }
        part = self.part_of(spot, component, row, day)
        self.components.append(row)
        if age is None:
            row |= {
                "fitted_on": moment(self.start, day - 0.1),
                "started_on": moment(self.start, day),
                "beginning": "known",
            }
            self.hours_note(row, spot, "fitted_hours", day)
        else:
            self.part_from_before(part, spot, age)
        return part

    def part_from_before(self, part: Part, spot: Spot, age: float) -> None:
        """Beginnings as old plants know them: some not at all, some by their age."""
        days = age / (24 * spot.share)
        chance = self.rng.random()
        if chance < 0.3:
            part.row |= {
                "beginning": "unknown",
                "fitted_on": moment(self.start, 0.0),
            }
        elif chance < 0.7:
            part.row |= {
                "beginning": "age known",
                "fitted_on": moment(self.start, 0.0),
                "age_at_entry_days": f"{days:.1f}",
            }
            if spot.has_meter:
                part.row["age_at_entry_hours"] = f"{age:.0f}"
            self.hours_note(part.row, spot, "fitted_hours", 0.0)
        else:
            part.row |= {
                "beginning": "known",
                "fitted_on": moment(self.start, -days),
            }
            self.hours_note(part.row, spot, "fitted_hours", -days)

    def part_of(
        self, spot: Spot, component: str, row: dict[str, str], day: float
    ) -> Part:
        """The part that this position takes, with its description in the row."""
        if component == "seal":
            seal = spot.seal
            row |= {
                "part_number": seal.part_number,
                "arrangement": str(seal.arrangement),
                "kind": seal.kind,
                "faces": seal.faces,
                "secondary_seal": seal.secondary_seal,
                "piping_plan": seal.plan,
            }
            taken: parts.SealPart | parts.BearingPart = seal
        else:
            bearing = spot.radial if component == "radial bearing" else parts.THRUST
            row |= {
                "designation": bearing.designation,
                "lubrication": bearing.lubrication,
                "dynamic_rating_kn": str(bearing.rating_kn),
                "load_kn": f"{spot.bearing_load(bearing):.2f}",
            }
            taken = bearing
        return Part(
            component=component,
            location=LOCATIONS[component],
            row=row,
            fitted_day=day,
            life=taken.life,
            mechanism=taken.mechanism,
            cause=taken.cause,
            finding=taken.finding,
            price=taken.price,
        )

    def part_close(self, part: Part, spot: Spot, repair: Span, reason: str) -> None:
        failed = reason == "failed"
        taken_out = min(repair.stopped_day + 0.15, repair.returned_day)
        if taken_out >= DAYS:
            return
        ended = repair.reported_day if failed else repair.stopped_day
        part.row |= {
            "removed_on": moment(self.start, taken_out),
            "reason_out": reason,
            "failed_on": moment(self.start, min(ended, taken_out)),
            "defect_detected": "yes" if failed else "no",
            "condition_found": "worn" if failed else str(self.rng.choice(CONDITIONS)),
        }
        self.hours_note(part.row, spot, "removed_hours", repair.stopped_day)

    def part_close_in_shop(self, part: Part, spot: Spot, day: float) -> None:
        self.part_close(part, spot, Span(day, day - 0.3, day), "sound")

    def hours_note(
        self, row: dict[str, str], spot: Spot, column: str, day: float
    ) -> None:
        """Meter value, where there is a meter and the pull-out does not travel."""
        if spot.has_meter and spot.tag not in truths.TRAVEL_TAGS:
            row[column] = f"{spot.meter(day):.0f}"

    # repairs --------------------------------------------------------------------

    def failure(self, spot: Spot, part: Part, day: float, *, starting: bool) -> Span:
        machine = spot.machine
        assert machine is not None
        if machine.serial == truths.TRAVELLER:
            part.mechanism, part.cause = "1.3", "2.1"
            part.finding = (
                "Sleeve fretted under the O-ring; cover face 0.3 mm out of square."
            )
        return self.repairs.failure(spot, machine, part, day, starting=starting)

    def other_repair(self, spot: Spot, day: float) -> Span:
        return self.repairs.other(spot, day)

    def minor_work(self, spot: Spot, day: float) -> Span:
        return self.repairs.minor(spot, day)

    def modification(self, spot: Spot, day: float, what: str) -> Span:
        return self.repairs.modification(spot, day, what)
