"""What happens to the generated fleet: repairs, and the lives between them."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import pandas as pd

from records.demo.big_fleet_plan import BAD_OTHERS, DAYS, FleetPlan, Floats, Ints, Part

SEAL, BEARINGS, OTHER = 0, 1, 2
NONE, FIRST, SECOND = 0, 1, 2
PRACTICE_DAYS = 1_800.0
OTHERS_A_YEAR = 1.75
# Beyond all days of one pump with all its down times; small enough for minutes.
PUMP_APART = 20_000.0

# Life in days, and which part failed (none: renewed as practice).
Drawn = tuple[Floats, Ints]
Draw = Callable[[Ints, Floats], Drawn]


@dataclass(frozen=True, slots=True, eq=False)
class FleetEvents:
    """`repairs`: one row an event in order of pump and time; days since the start.

    `lives`: pump, stream, `which` part, the rows of the repairs that fitted it and
    took it out (-1: none), and the age with which it entered the log.
    """

    repairs: pd.DataFrame
    lives: pd.DataFrame


def events_make(rng: np.random.Generator, plan: FleetPlan) -> FleetEvents:
    """Renewals of seals and bearings and other work, no two at a time on a pump."""
    stays = plan.stays
    home = plan.home
    entry = _entry_ages(rng, plan)
    streams = [
        _renewals(rng, plan, SEAL, entry[:, SEAL], _draw_seal(rng, plan, home)),
        _renewals(rng, plan, BEARINGS, entry[:, BEARINGS], _bearings(rng, plan, home)),
        _others(rng, plan),
    ]
    table = _one_at_a_time(pd.concat(streams, ignore_index=True))
    died = stays.died[table["pump"].to_numpy()]
    # A pump about to be retired is not repaired any more; at the end of the log the
    # last repairs are still open.
    stays_in = (table["reported"] < DAYS) & (table["returned"] < died)
    table = table[stays_in.to_numpy()].reset_index(drop=True)
    return FleetEvents(table, _lives(table, plan, entry))


def _entry_ages(rng: np.random.Generator, plan: FleetPlan) -> Floats:
    """Age of seal and bearings as the log begins; none of a pump that came later."""
    ages = rng.uniform([20.0, 50.0], [300.0, 900.0], (plan.stays.placed, 2))
    ages[plan.stays.born >= 0] = 0.0
    return np.asarray(ages, dtype=np.float64)


def _weibull(
    rng: np.random.Generator, parts: list[Part], of: Ints, factor: Floats, age: Floats
) -> Floats:
    """Days still to go, given the age reached."""
    shape = np.array([part.shape for part in parts])[of]
    scale = np.array([part.scale for part in parts])[of] * factor
    hazard = (age / scale) ** shape + rng.exponential(size=len(of))
    return np.asarray(scale * hazard ** (1 / shape) - age, dtype=np.float64)


def _draw_seal(rng: np.random.Generator, plan: FleetPlan, home: Ints) -> Draw:
    def draw(pumps: Ints, age: Floats) -> Drawn:
        at = home[pumps]
        life = _weibull(rng, plan.seals, plan.seal[at], plan.factor[at], age)
        practice = rng.exponential(PRACTICE_DAYS, len(pumps))
        which = np.where(life < practice, FIRST, NONE)
        return np.minimum(life, practice), which

    return draw


def _bearings(rng: np.random.Generator, plan: FleetPlan, home: Ints) -> Draw:
    """Both are renewed when one fails."""

    def draw(pumps: Ints, age: Floats) -> Drawn:
        at = home[pumps]
        kind, factor = plan.bearing[at], plan.factor[at]
        radial = _weibull(rng, plan.radials, kind, factor, age)
        thrust = _weibull(rng, plan.thrusts, kind, factor, age)
        practice = rng.exponential(PRACTICE_DAYS, len(pumps))
        all_three = np.stack([practice, radial, thrust])
        return all_three.min(axis=0), all_three.argmin(axis=0)

    return draw


def _renewals(
    rng: np.random.Generator, plan: FleetPlan, stream: int, entry: Floats, draw: Draw
) -> pd.DataFrame:
    """Events of one stream, generation after generation, until all are past the end."""
    begun = np.maximum(plan.stays.born, 0.0)
    end = np.minimum(plan.stays.died, DAYS)
    pumps, age = np.arange(plan.stays.placed), entry
    found = []
    order = 0
    while len(pumps):
        life, which = draw(pumps, age)
        table = _spans(rng, pumps, begun[pumps] + life)
        found.append(table.assign(stream=stream, order=order, which=which))
        begun[pumps] = table["returned"]
        pumps = pumps[begun[pumps] < end[pumps]]
        age = np.zeros(len(pumps))
        order += 1
    return pd.concat(found, ignore_index=True)


def _others(rng: np.random.Generator, plan: FleetPlan) -> pd.DataFrame:
    begun = np.maximum(plan.stays.born, 0.0)
    end = np.minimum(plan.stays.died, DAYS)
    times = np.where(plan.is_bad[plan.home], BAD_OTHERS, 1.0)
    counts = rng.poisson((end - begun) / 365.25 * OTHERS_A_YEAR * times)
    pumps = np.repeat(np.arange(plan.stays.placed), counts)
    reported = rng.uniform(begun[pumps], end[pumps])
    return _spans(rng, pumps, reported).assign(stream=OTHER, order=0, which=NONE)


def _spans(rng: np.random.Generator, pumps: Ints, reported: Floats) -> pd.DataFrame:
    size = len(pumps)
    stopped = reported + rng.uniform(0.01, 0.4, size)
    return pd.DataFrame(
        {
            "pump": pumps,
            "reported": reported,
            "stopped": stopped,
            "returned": stopped + rng.uniform(0.3, 3.0, size),
        }
    )


def _one_at_a_time(table: pd.DataFrame) -> pd.DataFrame:
    """Put off what would begin before the pump is back from the event before it."""
    table = table.sort_values(["pump", "reported"], ignore_index=True)
    reported = table["reported"].to_numpy()
    taken = (table["returned"] - table["reported"]).to_numpy() + 0.02
    used = np.cumsum(taken) - taken
    apart = table["pump"].to_numpy() * PUMP_APART
    # A queue: each event starts when it is due or when all before it are over.
    starts = np.maximum.accumulate(reported + apart - used) + used - apart
    later = starts - reported
    return table.assign(
        **{name: table[name] + later for name in ("reported", "stopped", "returned")}
    )


def _lives(table: pd.DataFrame, plan: FleetPlan, entry: Floats) -> pd.DataFrame:
    """Between two events of a stream one part lives; the bearings are two."""
    row = np.arange(len(table))
    is_over = table["returned"].to_numpy() < DAYS
    found = []
    for stream, parts in ((SEAL, (FIRST,)), (BEARINGS, (FIRST, SECOND))):
        rows = row[(table["stream"] == stream).to_numpy() & is_over]
        pump = table["pump"].to_numpy()[rows]
        pumps = np.arange(plan.stays.placed)
        # One life ends at each event, and one more is open on every pump.
        lives = pd.DataFrame(
            {
                "pump": np.concatenate([pump, pumps]),
                "closed_by": np.concatenate([rows, np.full(len(pumps), len(table))]),
            }
        ).sort_values(["pump", "closed_by"], ignore_index=True)
        before = lives.groupby("pump")["closed_by"].shift(fill_value=-1)
        lives = lives.assign(
            stream=stream,
            opened_by=before,
            closed_by=lives["closed_by"].where(lives["closed_by"] < len(table), -1),
            entry_age=np.where(before < 0, entry[lives["pump"], stream], 0.0),
        )
        found += [lives.assign(which=which) for which in parts]
    return pd.concat(found, ignore_index=True).sort_values(
        ["pump", "stream", "which"], kind="stable", ignore_index=True
    )
