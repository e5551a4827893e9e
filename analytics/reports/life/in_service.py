"""Which lives of a population are in service now, how old, and how much they run."""

from dataclasses import dataclass
from datetime import timedelta

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from analytics.ages import Clock
from analytics.samples import LeftOut, Sample, Status
from plant.models import Position
from records.selectors.hours import running_hours
from records.selectors.lives import LifeTables

Floats = NDArray[np.float64]
YEAR_DAYS = 365.25


@dataclass(frozen=True, slots=True, eq=False)
class InService:
    """Lives that run on at a position, one row each, and those that cannot be used.

    `rows` are rows of the sample with the tag and position where they stand now and
    `year`: how much of the clock passes in the next year there.
    """

    rows: pd.DataFrame
    unit: str
    not_running: int
    """Lives in a pump in the store, at a position out of service or never running."""
    unusable: int
    """Lives still in whose age is not known."""

    @property
    def ages(self) -> Floats:
        return self.rows["age"].to_numpy(float)

    def ahead(self, days: float) -> Floats:
        """How far each life gets on its clock within so many days."""
        return np.asarray(self.rows["year"].to_numpy(float) * days / YEAR_DAYS)


def lives_in_service(sample: Sample, tables: LifeTables) -> InService:
    """The lives of a sample that are still in and run, in three queries."""
    as_of = pd.Timestamp(sample.rule.as_of)
    still_in = sample.rows[~sample.rows["closed"].astype(bool)]
    retired = (still_in["retired_at"] <= as_of).to_numpy(bool)
    still_in = still_in[~retired]
    # What was fitted today tells nothing of life so far, but it can fail from now on.
    just_fitted = (still_in["reason"] == LeftOut.NO_SERVICE) & still_in["age"].notna()
    usable = still_in[(still_in["status"] == Status.SUSPENDED) | just_fitted]
    placed = _where_now(usable, tables, as_of)
    placed["year"] = _year_ahead(placed, tables, as_of, sample.rule.clock)
    running = placed[placed["year"] > 0].reset_index(drop=True)
    return InService(
        rows=running,
        unit=sample.unit,
        not_running=len(usable) - len(running),
        unusable=len(still_in) - len(usable),
    )


def _where_now(
    lives: pd.DataFrame, tables: LifeTables, as_of: pd.Timestamp
) -> pd.DataFrame:
    """Lives with the position in service at which their pump stands."""
    moves = tables.placements
    there = moves[
        (moves["placed_at"] <= as_of)
        & (moves["removed_at"].isna() | (moves["removed_at"] > as_of))
    ]
    place = lives["pump_id"].map(
        dict(zip(there["pump_id"], there["position_id"], strict=True))
    )
    # A pump without any placement on record stands where its life says.
    never_placed = ~lives["pump_id"].isin(moves["pump_id"])
    place = place.where(~never_placed, lives["position_id"])
    serving = dict(
        Position.objects.in_service(as_of.date())
        .filter(pk__in=tables.positions.values("pk"))
        .order_by()
        .values_list("pk", "tag")
    )
    found = lives.assign(position_id=place, tag=place.map(serving))
    standing: pd.DataFrame = found[found["tag"].notna()].reset_index(drop=True)
    standing["position_id"] = standing["position_id"].astype("int64")
    return standing


def _year_ahead(
    lives: pd.DataFrame, tables: LifeTables, as_of: pd.Timestamp, clock: Clock
) -> Floats:
    """What the clock of each life gains in the next year at its position."""
    if clock is Clock.STARTS:
        return np.zeros(len(lives))
    if clock is Clock.DAYS:
        return np.full(len(lives), YEAR_DAYS)
    spans = pd.DataFrame({"position": lives["position_id"], "zone": lives["time_zone"]})
    now = np.full(len(spans), as_of.timestamp())
    year = timedelta(days=YEAR_DAYS).total_seconds()
    return running_hours(tables.positions, spans, now, now + year).hours
