"""Repairs of the generated fleet."""

from collections import Counter
from collections.abc import Iterator
from typing import Any

import numpy as np

from plant.models import User
from records.choices import Activity, Category, Item, RepairState
from records.demo.big_fleet_events import FIRST, NONE, OTHER, SEAL, FleetEvents
from records.demo.big_fleet_plan import DAYS, FleetPlan, positions_at
from records.demo.big_fleet_register import Clock, Register
from records.models import Repair
from records.services.numbering import number_in_words

# Item, failure mode, mechanism, cause, category, activity; and how often.
OTHERS = (
    (Item.COUPLING, "VIB", "2.4", "3.4", Category.CORRECTIVE, Activity.REPLACE, 0.14),
    (Item.IMPELLER, "LOO", "2.3", "3.1", Category.CORRECTIVE, Activity.REPAIR, 0.10),
    (Item.GASKET, "ELP", "2.0", "3.4", Category.CORRECTIVE, Activity.REPLACE, 0.08),
    (Item.SEAL_SUPPORT, "PDE", "5.1", "3.1", Category.CONDITION, Activity.REPAIR, 0.08),
    (Item.DRIVER, "UST", "4.0", "5.4", Category.CORRECTIVE, Activity.REPAIR, 0.15),
    (Item.OIL, "", "", "", Category.PREVENTIVE, Activity.SERVICE, 0.30),
    (Item.COUPLING, "", "", "", Category.PREVENTIVE, Activity.ADJUST, 0.15),
)
SEAL_FAILED = (
    *(Item.SEAL, "ELP", "2.4", "3.4"),
    *(Category.CORRECTIVE, Activity.REPLACE),
)
BEARING_FAILED = ("VIB", "2.6", "3.4", Category.CORRECTIVE, Activity.REPLACE)
AS_PRACTICE = ("", "", "", Category.PREVENTIVE, Activity.REPLACE)
FINDINGS_TAKE = 60.0
SHARE_VOID = 0.003
SIGNED_AFTER = 0.1


def repair_rows(
    rng: np.random.Generator,
    plan: FleetPlan,
    events: FleetEvents,
    register: Register,
    clock: Clock,
    by: User,
) -> Iterator[Repair]:
    table = events.repairs
    at = positions_at(plan, table["pump"].to_numpy(), table["reported"].to_numpy())
    chances = rng.random(len(table))
    others = rng.choice(len(OTHERS), len(table), p=[chance for *_, chance in OTHERS])
    running: Counter[int] = Counter()
    rows = zip(
        table.to_dict("records"), at.tolist(), chances.tolist(), others, strict=True
    )
    for row, position, chance, other in rows:
        repair = Repair(
            site=register.site,
            position_id=register.positions[position],
            pump_id=register.pumps[row["pump"]],
            reported_at=clock.at(row["reported"]),
            operating_state="running",
            text="Made by the generator.",
        )
        _codes(repair, row, int(other), chance)
        _state(repair, row, chance, clock, by)
        running[repair.reported_at.year] += 1
        year = repair.reported_at.year
        repair.number = number_in_words(register.site.name, year, running[year])
        yield repair


def _codes(repair: Repair, row: dict[Any, Any], other: int, chance: float) -> None:
    if row["stream"] == OTHER:
        codes: tuple[str, ...] = OTHERS[other][:-1]
    elif row["stream"] == SEAL:
        codes = SEAL_FAILED if row["which"] else (Item.SEAL, *AS_PRACTICE)
    else:
        item = Item.RADIAL_BEARING if row["which"] <= FIRST else Item.THRUST_BEARING
        codes = (item, *(AS_PRACTICE if row["which"] == NONE else BEARING_FAILED))
    (
        repair.item,
        repair.failure_mode,
        repair.mechanism,
        repair.cause,
        repair.category,
        repair.activity,
    ) = codes
    if repair.failure_mode:
        repair.impact = "degraded" if chance < 0.4 else "critical"
        repair.detection = "4" if chance < 0.4 else "8"
    if repair.failure_mode == "ELP":
        repair.release = "outside" if chance > 0.8 else "contained"
    else:
        repair.release = "none"


def _state(
    repair: Repair, row: dict[Any, Any], chance: float, clock: Clock, by: User
) -> None:
    """Over and signed; the last ones are still open, findings of late ones too."""
    if row["stopped"] < DAYS:
        repair.stopped_at = clock.at(row["stopped"])
    if row["returned"] >= DAYS:
        return
    repair.returned_at = clock.at(row["returned"])
    repair.active_hours = round(12 * (row["returned"] - row["stopped"]), 1)
    repair.state = RepairState.SIGNED
    repair.signed_by = by
    repair.signed_at = clock.at(min(row["returned"] + SIGNED_AFTER, DAYS))
    if row["stream"] == OTHER and chance < SHARE_VOID:
        repair.state = RepairState.VOID
        repair.void_reason = "Entered twice."
    if row["returned"] < DAYS - FINDINGS_TAKE or chance < 0.5:
        repair.findings_signed_by = by
        repair.findings_signed_at = repair.signed_at
    else:
        repair.mechanism = repair.cause = ""
