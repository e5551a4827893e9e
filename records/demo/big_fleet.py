"""Puts a generated fleet of any size into an empty database, for benchmarks.

The rows go past the import, straight into the tables; the database's own constraints
hold for them as for any.
"""

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np
from django.db import connection, transaction

from plant.access import require
from plant.models import FittedLife, Site, User
from records.demo.big_fleet_costs import cost_rows
from records.demo.big_fleet_events import FleetEvents, events_make
from records.demo.big_fleet_history import histories_begin
from records.demo.big_fleet_lives import change_rows, life_rows
from records.demo.big_fleet_plan import DAYS, SEED, FleetPlan, plan_make
from records.demo.big_fleet_register import (
    Clock,
    Register,
    register_store,
    rows_insert,
)
from records.demo.big_fleet_repairs import repair_rows
from records.demo.load import DemoRefused, people_make
from records.models import ComponentChange, CostLine, Repair
from records.services.correction_door import correction_door

SITE = "Bench fleet"
ZONE = "Europe/Amsterdam"


@dataclass(frozen=True, slots=True)
class LoadedFleet:
    positions: int
    repairs: int
    lives: int
    bad_tags: tuple[str, ...]


def big_fleet_is_loaded() -> bool:
    """Whether a generated fleet stands here; refuses a database with other data.

    Raises
    ------
    DemoRefused
        When a site that is not the generated fleet's exists.
    """
    other = Site.objects.exclude(name=SITE).first()
    if other is not None:
        raise DemoRefused(
            f"This database holds the site {other}: a generated fleet is loaded only "
            "into a database of its own. Set DATABASE_URL or DATA_DIR to another place."
        )
    return Site.objects.exists()


def big_fleet_load(*, by: User, positions: int, ends_on: date) -> LoadedFleet:
    """Make ten years of history up to `ends_on` for so many positions, and store it."""
    require(by, "records.import_fleet")
    rng = np.random.default_rng(SEED)
    plan = plan_make(rng, positions)
    events = events_make(rng, plan)
    with transaction.atomic():
        _store(rng, plan, events, by, ends_on)
    with connection.cursor() as cursor:
        # So that the first queries after it are planned with the tables as they are.
        cursor.execute("ANALYZE")
    return LoadedFleet(
        positions=plan.size,
        repairs=len(events.repairs),
        lives=len(events.lives),
        bad_tags=tuple(plan.tag(one) for one in np.flatnonzero(plan.is_bad).tolist()),
    )


def _store(
    rng: np.random.Generator,
    plan: FleetPlan,
    events: FleetEvents,
    by: User,
    ends_on: date,
) -> None:
    morning = datetime.combine(ends_on, time(), tzinfo=ZoneInfo(ZONE))
    clock = Clock((morning - timedelta(days=DAYS)).astimezone(UTC))
    site = Site.objects.create(
        name=SITE, time_zone=ZONE, records_from=clock.at(1).date()
    )
    register = register_store(plan, site, clock)
    with correction_door():
        _records_store(rng, plan, events, register, clock, by, ends_on)
    histories_begin(by)
    people_make(site)


def _records_store(
    rng: np.random.Generator,
    plan: FleetPlan,
    events: FleetEvents,
    register: Register,
    clock: Clock,
    by: User,
    ends_on: date,
) -> None:
    repairs = rows_insert(Repair, repair_rows(rng, plan, events, register, clock, by))
    lives = rows_insert(FittedLife, life_rows(rng, plan, events, register, clock))
    rows_insert(ComponentChange, change_rows(events.lives, lives, repairs))
    rows_insert(CostLine, cost_rows(rng, events.repairs, repairs, clock, ends_on))
