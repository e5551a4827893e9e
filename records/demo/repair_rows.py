"""Rows of the demo's repairs: codes, times, hours and costs."""

from dataclasses import dataclass, field
from datetime import datetime

import numpy as np

from records.demo.state import DAYS, Machine, Part, Span, Spot, moment

LABOUR_PER_HOUR = 68
ESTIMATED_FOR_DAYS = 40.0
OTHERS = (
    ("coupling", "VIB", "2.4", "3.4", "Coupling element cracked.", 420),
    ("impeller", "LOO", "2.3", "3.1", "Vanes thinned, clearance doubled.", 2600),
    ("casing gasket", "ELP", "2.0", "3.4", "Weeping at the casing joint.", 90),
    ("seal-support system", "PDE", "5.1", "3.1", "Flush orifice blocked.", 150),
    ("shaft", "VIB", "2.6", "1.0", "Shaft cracked at the keyway.", 1800),
    ("driver", "UST", "4.0", "5.4", "Motor tripped on earth fault.", 0),
)  # fmt: skip
OTHER_CHANCES = (0.3, 0.2, 0.2, 0.15, 0.05, 0.1)
MINOR = (
    ("oil", "7", "Oil changed and level set."),
    ("coupling", "4", "Alignment trimmed after the pipework was changed."),
    ("seal-support system", "9", "Flush line looked through, in order."),
)
BEARING_MODES = ("VIB", "NOI", "OHE")
RELEASES = ("none", "contained", "outside", "reportable")
RELEASE_CHANCES = (0.46, 0.3, 0.22, 0.02)


@dataclass(slots=True)
class RepairWriter:
    rng: np.random.Generator
    start: datetime
    rows: list[tuple[float, dict[str, str]]] = field(default_factory=list)

    def failure(
        self, spot: Spot, machine: Machine, part: Part, day: float, *, starting: bool
    ) -> Span:
        seal = part.component == "seal"
        monitored = not starting and self.rng.random() < (0.1 if seal else 0.4)
        wait = float(self.rng.uniform(0.5, 4.0)) if monitored else 0.05
        span = self.span(day, wait, float(self.rng.uniform(0.8, 4.5)))
        codes = self.seal_codes(starting) if seal else self.bearing_codes()
        row = self.row(spot, machine.serial, span)
        row |= codes | {
            "work_class": "found by condition monitoring"
            if monitored
            else "corrective",
            "activity": "1",
            "item": "mechanical seal" if seal else part.component,
            "impact": "degraded" if monitored else "critical",
            "detection": "4" if monitored else ("10" if starting else "8"),
            "text": part.finding,
        }
        if self.rng.random() < 0.85:
            row |= {"mechanism": part.mechanism, "cause": part.cause}
        self.costs(
            row, spot, span, active=float(self.rng.uniform(8, 26)), parts=part.price
        )
        spot.repairs_at.append(day)
        return span

    def seal_codes(self, starting: bool) -> dict[str, str]:
        return {
            "failure_mode": "ELP",
            "operating_state": "starting" if starting else "running",
            "release": str(self.rng.choice(RELEASES, p=RELEASE_CHANCES)),
        }

    def bearing_codes(self) -> dict[str, str]:
        return {
            "failure_mode": str(self.rng.choice(BEARING_MODES)),
            "operating_state": "running",
            "release": "none",
        }

    def other(self, spot: Spot, day: float) -> Span:
        item, mode, mechanism, cause, text, price = OTHERS[
            int(self.rng.choice(len(OTHERS), p=OTHER_CHANCES))
        ]
        span = self.span(day, 0.1, float(self.rng.uniform(0.4, 3.0)))
        row = self.row(spot, spot.machine.serial if spot.machine else "", span)
        row |= {
            "work_class": "corrective",
            "activity": "2",
            "item": item,
            "failure_mode": mode,
            "impact": "degraded",
            "operating_state": "running",
            "release": "none",
            "detection": "8",
            "mechanism": mechanism,
            "cause": cause,
            "text": text,
        }
        self.costs(row, spot, span, active=float(self.rng.uniform(3, 14)), parts=price)
        if item != "driver":
            spot.repairs_at.append(day)
        return span

    def minor(self, spot: Spot, day: float) -> Span:
        item, activity, text = MINOR[int(self.rng.integers(len(MINOR)))]
        span = self.span(day, 0.0, 0.15)
        row = self.row(spot, spot.machine.serial if spot.machine else "", span)
        row |= {
            "work_class": "preventive",
            "activity": activity,
            "item": item,
            "text": text,
        }
        self.costs(row, spot, span, active=1.5, parts=25, lost=False)
        if activity == "9":
            spot.repairs_at.append(day)
        return span

    def modification(self, spot: Spot, day: float, what: str) -> Span:
        span = self.span(day, 0.0, 1.5)
        row = self.row(spot, spot.machine.serial if spot.machine else "", span)
        flush = what == "flush line"
        row |= {
            "work_class": "modification",
            "activity": "3",
            "item": "seal-support system" if flush else "mechanical seal",
            "text": f"Changed to {what}.",
        }
        self.costs(row, spot, span, active=16, parts=700 if flush else 24_000)
        spot.repairs_at.append(day)
        return span

    def span(self, day: float, wait: float, down: float) -> Span:
        stopped = day + wait
        return Span(day, stopped, stopped + down)

    def row(self, spot: Spot, serial: str, span: Span) -> dict[str, str]:
        row = {
            "tag": spot.tag,
            "serial_number": serial,
            "reported_at": moment(self.start, span.reported_day),
            "currency": "EUR",
        }
        if span.stopped_day < DAYS:
            row["stopped_at"] = moment(self.start, span.stopped_day)
        if span.returned_day < DAYS:
            row["returned_at"] = moment(self.start, span.returned_day)
        self.rows.append((span.reported_day, row))
        spot.busy_until = span.returned_day
        return row

    def costs(
        self,
        row: dict[str, str],
        spot: Spot,
        span: Span,
        *,
        active: float,
        parts: float,
        lost: bool = True,
    ) -> None:
        """Labour by hours, parts by price; lost output only where nothing spares."""
        if span.returned_day >= DAYS:
            return
        down_hours = (span.returned_day - span.stopped_day) * 24
        booked = span.returned_day + float(self.rng.uniform(3, 30))
        row |= {
            "active_hours": f"{active:.1f}",
            "labour_cost": f"{active * 2 * LABOUR_PER_HOUR:.2f}",
            "parts_cost": f"{parts * float(self.rng.uniform(0.9, 1.15)):.2f}",
            "booked_on": moment(self.start, min(booked, DAYS - 0.6))[:10],
            "cost_status": "estimate"
            if span.returned_day > DAYS - ESTIMATED_FOR_DAYS
            else "booked",
        }
        if lost and spot.stopped_cost:
            loss = spot.stopped_cost * down_hours * float(self.rng.uniform(0.2, 0.8))
            row["lost_production_cost"] = f"{loss:.2f}"
        elif lost:
            row["lost_production_cost"] = "0.00"
        if self.rng.random() < 0.12:
            row["contractor_cost"] = f"{float(self.rng.uniform(400, 2500)):.2f}"
        if row.get("release") in ("outside", "reportable"):
            row["environment_safety_cost"] = f"{float(self.rng.uniform(300, 4000)):.2f}"
