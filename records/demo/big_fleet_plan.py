"""What the generated fleet consists of: positions, pumps, stays, true lives."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy import special

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Flags = npt.NDArray[np.bool_]

SEED = 7_0325
DAYS = 3_652.0
BEFORE = -2_000.0
AREA_SIZE = 40
LIQUIDS = (
    ("brine", ("corrosive",), "transfer"),
    ("condensate", ("hot",), "condensate return"),
    ("toluene", ("flammable", "toxic"), "reflux"),
    ("lime slurry", ("abrasive",), "slurry circulation"),
    ("treated water", (), "cooling water"),
)
PLANS = ("02", "11", "21", "23", "32", "53A")
SHARE_BAD = 0.004
# A planted bad actor's parts last this part of what its peers' do, and it needs other
# work so many times as often.
BAD_FACTOR = 0.1
BAD_OTHERS = 8.0


@dataclass(frozen=True, slots=True, eq=False)
class Part:
    """The true life of one part number, in days of service."""

    name: str
    shape: float
    scale: float


@dataclass(frozen=True, slots=True, eq=False)
class FleetPlan:
    """Arrays have one entry a position; those of pumps and stays say so."""

    seals: list[Part]
    radials: list[Part]
    thrusts: list[Part]
    liquid: Ints
    standby: Flags
    share: Floats
    seal: Ints
    bearing: Ints
    piping_plan: Ints
    in_service_day: Floats
    has_meter: Flags
    factor: Floats
    is_bad: Flags
    stays: "Stays"

    @property
    def size(self) -> int:
        return len(self.liquid)

    @property
    def home(self) -> Ints:
        """The position whose parts a pump carries: the first it stood at."""
        home = np.zeros(self.stays.placed, dtype=np.int64)
        home[self.stays.pump[::-1]] = self.stays.position[::-1]
        return home

    def tag(self, position: int) -> str:
        area, place = divmod(position, AREA_SIZE)
        return f"P-{area + 1:03d}{place + 1:02d}"


@dataclass(frozen=True, slots=True, eq=False)
class Stays:
    """Pumps by birth and end, and where each stood; days since the log began.

    A stay with an end beyond the log goes on; pumps from `placed` on are in the store.
    """

    born: Floats
    died: Floats
    placed: int
    stored: int
    pump: Ints
    position: Ints
    from_day: Floats
    to_day: Floats


def plan_make(rng: np.random.Generator, size: int) -> FleetPlan:
    """Draw a fleet of so many positions."""
    # Neighbours form the spare groups: the second of each pair stands by.
    paired = np.arange(size) // 2 % 2 == 0
    paired &= np.arange(size) // 2 * 2 + 1 < size
    standby = paired & (np.arange(size) % 2 == 1)
    is_bad = np.zeros(size, dtype=bool)
    count = max(1, round(size * SHARE_BAD))
    # Not on a standby, whose peers are few in a small fleet.
    is_bad[rng.choice(np.flatnonzero(~standby), count, replace=False)] = True
    late = rng.random(size) < 0.1
    in_service = np.where(late, rng.uniform(100, 0.8 * DAYS, size), 0.0)
    kinds = int(np.clip(size // 25, 3, 50))
    factor = rng.lognormal(0.0, 0.25, size) * np.where(is_bad, BAD_FACTOR, 1.0)
    return FleetPlan(
        seals=_parts(rng, "S-5", kinds, (0.7, 3.0), (330.0, 640.0)),
        radials=_parts(rng, "63", max(kinds // 2, 2), (1.1, 2.5), (1_100.0, 2_600.0)),
        thrusts=_parts(rng, "73", max(kinds // 2, 2), (1.1, 2.5), (1_100.0, 2_600.0)),
        liquid=np.asarray(rng.integers(len(LIQUIDS), size=size)),
        standby=standby,
        share=np.where(standby, 0.15, rng.choice([0.6, 0.8, 0.95], size)),
        seal=np.asarray(rng.integers(kinds, size=size)),
        bearing=np.asarray(rng.integers(max(kinds // 2, 2), size=size)),
        piping_plan=np.asarray(rng.integers(len(PLANS), size=size)),
        in_service_day=in_service,
        has_meter=rng.random(size) < 0.5,
        factor=factor,
        is_bad=is_bad,
        stays=_stays(rng, in_service, is_bad),
    )


def _parts(
    rng: np.random.Generator,
    prefix: str,
    count: int,
    shapes: tuple[float, float],
    means: tuple[float, float],
) -> list[Part]:
    shape = rng.uniform(*shapes, count)
    scale = rng.uniform(*means, count) / special.gamma(1 + 1 / shape)
    return [
        Part(f"{prefix}{number:02d}", float(k), float(eta))
        for number, (k, eta) in enumerate(zip(shape, scale, strict=True), start=1)
    ]


def _stays(rng: np.random.Generator, in_service: Floats, is_bad: Flags) -> Stays:
    """Most pumps stay; some are replaced by a new one, some change with another."""
    size = len(in_service)
    fate = rng.random(size)
    change = in_service + rng.uniform(0.2, 0.9, size) * (DAYS - in_service)
    replaced = np.flatnonzero((fate < 0.05) & ~is_bad)
    movers = np.flatnonzero((fate > 0.94) & ~is_bad & (in_service == 0))
    pairs = movers[: len(movers) // 2 * 2].reshape(-1, 2)
    to_day = np.full(size, np.inf)
    to_day[replaced] = change[replaced]
    to_day[pairs] = change[pairs[:, :1]]
    died = np.full(size + len(replaced), np.inf)
    died[replaced] = change[replaced]
    begun = np.where(in_service > 0, in_service, BEFORE)
    new = size + np.arange(len(replaced))
    swapped = pairs[:, ::-1]
    return Stays(
        born=np.concatenate([begun, change[replaced]]),
        died=died,
        placed=len(died),
        stored=max(1, size // 20),
        pump=np.concatenate([np.arange(size), new, swapped.ravel()]),
        position=np.concatenate([np.arange(size), replaced, pairs.ravel()]),
        from_day=np.concatenate([begun, change[replaced], to_day[pairs].ravel()]),
        to_day=np.concatenate([to_day, np.full(len(new) + pairs.size, np.inf)]),
    )


def positions_at(plan: FleetPlan, pump: Ints, day: Floats) -> Ints:
    """Where each pump stood on each day; a day before its first stay counts as that."""
    stays = plan.stays
    order = np.lexsort([stays.from_day, stays.pump])
    apart = 2.0 * DAYS
    begins = stays.pump[order] * apart + np.maximum(stays.from_day[order], 0.0)
    row = np.searchsorted(begins, pump * apart + np.maximum(day, 0.0), side="right") - 1
    return np.asarray(stays.position[order][row], dtype=np.int64)
