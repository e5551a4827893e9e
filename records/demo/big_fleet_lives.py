"""Fitted lives of the generated fleet, and which repair changed them."""

from collections.abc import Iterator
from typing import Any

import numpy as np
import pandas as pd

from plant.choices import (
    Arrangement,
    Beginning,
    Component,
    ConditionFound,
    Location,
    SealKind,
    WhyRemoved,
)
from plant.models import FittedLife
from records.choices import ChangeKind
from records.demo.big_fleet_events import BEARINGS, FIRST, NONE, SEAL, FleetEvents
from records.demo.big_fleet_plan import DAYS, LIQUIDS, PLANS, FleetPlan, positions_at
from records.demo.big_fleet_register import Clock, Register
from records.models import ComponentChange

PLACES = {
    (SEAL, FIRST): (Component.SEAL, Location.SEAL_SINGLE_INNER),
    (BEARINGS, FIRST): (Component.RADIAL, Location.RADIAL_NDE),
}
THRUST = (Component.THRUST, Location.THRUST)


def life_rows(
    rng: np.random.Generator,
    plan: FleetPlan,
    events: FleetEvents,
    register: Register,
    clock: Clock,
) -> Iterator[FittedLife]:
    lives, repairs = events.lives, events.repairs
    opened, closed = (lives[name].to_numpy() for name in ("opened_by", "closed_by"))
    pump = lives["pump"].to_numpy()
    stopped, back = repairs["stopped"].to_numpy(), repairs["returned"].to_numpy()
    down = back - stopped
    born = np.maximum(plan.stays.born[pump], 0.0)
    table = lives.assign(
        born=plan.stays.born[pump],
        died=plan.stays.died[pump],
        home=plan.home[pump],
        fitted=np.where(opened < 0, born, (stopped + 0.8 * down)[opened]),
        started=np.where(opened < 0, born, back[opened]),
        failed=np.where(closed < 0, NONE, repairs["which"].to_numpy()[closed]),
        reported=repairs["reported"].to_numpy()[closed],
        stopped=stopped[closed],
        removed=(stopped + 0.3 * down)[closed],
        chance=rng.random(len(lives)),
    )
    table["position"] = positions_at(plan, pump, table["started"].to_numpy())
    for row in table.to_dict("records"):
        life = _life(plan, register, row)
        _beginning(life, row, clock)
        _ending(life, row, clock)
        yield life


def _life(plan: FleetPlan, register: Register, row: dict[Any, Any]) -> FittedLife:
    at = row["position"]
    component, location = PLACES.get((row["stream"], row["which"]), THRUST)
    life = FittedLife(
        pump_id=register.pumps[row["pump"]],
        position_id=register.positions[at],
        component=component,
        location=location,
        liquid=LIQUIDS[plan.liquid[at]][0],
        service=LIQUIDS[plan.liquid[at]][2],
        temperature_c=40,
        running_share=float(plan.share[at]),
        piping_plan=PLANS[plan.piping_plan[at]],
    )
    # A pump carries the parts of the position it was bought for.
    home = row["home"]
    if component == Component.SEAL:
        life.part_number = plan.seals[plan.seal[home]].name
        life.arrangement, life.kind = Arrangement.SINGLE, SealKind.PUSHER
        return life
    parts = plan.radials if component == Component.RADIAL else plan.thrusts
    life.designation = parts[plan.bearing[home]].name
    return life


def _beginning(life: FittedLife, row: dict[Any, Any], clock: Clock) -> None:
    """What stood when the log began is known in part, as in old plants."""
    fitted, started = row["fitted"], row["started"]
    if row["entry_age"] > 0:
        if row["chance"] < 0.3:
            life.beginning = Beginning.UNKNOWN
        elif row["chance"] < 0.7:
            life.beginning = Beginning.AGE_KNOWN
            life.age_at_entry_days = round(row["entry_age"], 1)
        else:
            fitted = started = -row["entry_age"]
    life.fitted_at = clock.at(fitted)
    life.started_at = clock.at(started)


def _ending(life: FittedLife, row: dict[Any, Any], clock: Clock) -> None:
    if row["closed_by"] < 0:
        if row["died"] < DAYS:
            life.removed_at = life.ended_at = clock.at(row["died"])
            life.why_removed = WhyRemoved.RETIRED
            life.condition_found = ConditionFound.NOT_INSPECTED
        return
    failed = row["failed"] == row["which"]
    life.removed_at = clock.at(row["removed"])
    life.ended_at = clock.at(row["reported"] if failed else row["stopped"])
    life.defect_detected = failed
    life.why_removed = WhyRemoved.DEFECT if failed else WhyRemoved.PRACTICE
    life.condition_found = ConditionFound.WORN if failed else ConditionFound.GOOD


def change_rows(
    lives: pd.DataFrame, life_keys: list[int], repair_keys: list[int]
) -> Iterator[ComponentChange]:
    """Which repair fitted a life and which took it out."""
    columns = (("opened_by", ChangeKind.IN), ("closed_by", ChangeKind.OUT))
    for column, change in columns:
        for life, repair in zip(life_keys, lives[column].tolist(), strict=True):
            if repair >= 0:
                yield ComponentChange(
                    repair_id=repair_keys[repair], life_id=life, change=change
                )
