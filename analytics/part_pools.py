"""Whose lives tell what becomes of a part in service: one ladder for every page.

The lives of the same part, component and piping plan at its own position where enough
of them failed; else those of its area; else those of the positions that it is compared
with. A list of the fleet and the story of one pump ask here, so that they say the same.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import cast

import numpy as np
import pandas as pd

from analytics.samples import Sample, Status
from plant.choices import ConditionFitted

POPULATION = ["component", "part", "piping_plan"]
# Refitted unopened is the same part going on at its age; the others are not.
COUNTED_CONDITIONS = (ConditionFitted.NEW, ConditionFitted.REFITTED)
# A position that used up so many of one part tells its next life better than others do.
ENOUGH_OWN_FAILURES = 10
# With fewer failures in its area a part is held against all that are compared.
ENOUGH_FAILURES = 5
MOST_COMPARED = 200


class Rung(StrEnum):
    """Whose lives a pool holds; the value is what a page prints."""

    OWN = "its own position alone"
    AREA = "its area"
    ALL = "all compared"


@dataclass(frozen=True, slots=True, eq=False)
class Circles:
    """Positions that share their pool: `of` by position, `members` one row each."""

    of: "pd.Series[int]"
    members: pd.DataFrame


@dataclass(frozen=True, slots=True, eq=False)
class Places:
    """Positions with `site`, `area` and `liquid`, indexed by key, in order of tags."""

    table: pd.DataFrame

    @classmethod
    def of_rows(cls, rows: Iterable[tuple[int, int, int, str]]) -> "Places":
        """From key, site, area and liquid."""
        table = pd.DataFrame(list(rows), columns=["pk", "site", "area", "liquid"])
        return cls(table.set_index("pk"))

    def own(self, asked: "pd.Index[int]") -> Circles:
        members = pd.DataFrame({"circle": asked, "position_id": asked})
        return Circles(pd.Series(asked, asked, dtype="int64"), members)

    def in_area(self, asked: "pd.Index[int]") -> Circles:
        """The positions of the area, the nearest of them where they are many."""
        table = self.table
        sizes = table.groupby("area")["liquid"].transform("size")
        wide = (sizes > MOST_COMPARED)[asked].to_numpy()
        keys = table.loc[asked, ["area", "liquid"]]
        keys["liquid"] = keys["liquid"].where(wide, "")
        return self._circles(keys, within_area=True)

    def compared(self, asked: "pd.Index[int]") -> Circles:
        """The nearest positions of the site: of its area and liquid first."""
        return self._circles(self.table.loc[asked, ["area", "liquid"]], False)

    def _circles(self, keys: pd.DataFrame, within_area: bool) -> Circles:
        own = keys.groupby(["area", "liquid"], sort=False).ngroup()
        kinds = keys.drop_duplicates().itertuples(index=False)
        members = []
        for number, (area, liquid) in enumerate(kinds):
            near = self._nearest(area, liquid, within_area)
            members.append(pd.DataFrame({"circle": number, "position_id": near}))
        empty = pd.DataFrame({"circle": [], "position_id": []}, dtype="int64")
        return Circles(own, pd.concat(members) if members else empty)

    def _nearest(self, area: int, liquid: str, within_area: bool) -> "pd.Index[int]":
        table = self.table
        same_area = (table["area"] == area).to_numpy()
        same_liquid = (table["liquid"] == liquid).to_numpy()
        asked = same_area
        if not within_area:
            asked = (table["site"] == table["site"][same_area].iloc[0]).to_numpy()
        order = np.argsort(-(2 * same_area + same_liquid)[asked], kind="stable")
        return table.index[asked][order[:MOST_COMPARED]]


@dataclass(frozen=True, slots=True, eq=False)
class PartPools:
    """`parts` with `pool` and `rung` beside each; the lives of every pool."""

    parts: pd.DataFrame
    lives: dict[int, pd.DataFrame]


def part_pools(parts: pd.DataFrame, sample: Sample, places: Places) -> PartPools:
    """Take each part to the first rung of the ladder where enough lives failed.

    `parts` have the columns of `POPULATION` and `position_id`, where they run now, one
    of `places`.
    """
    lives, parts = _counted(sample), parts.reset_index(drop=True)
    names = pd.concat([lives[POPULATION], parts[POPULATION]])
    kind = names.groupby(POPULATION, sort=False).ngroup().to_numpy()
    lives = lives.assign(kind=kind[: len(lives)])
    parts = parts.assign(kind=kind[len(lives) :], pool=-1, rung="")
    ladder: tuple[tuple[Rung, int, Callable[[pd.Index[int]], Circles]], ...] = (
        (Rung.OWN, ENOUGH_OWN_FAILURES, places.own),
        (Rung.AREA, ENOUGH_FAILURES, places.in_area),
        (Rung.ALL, 0, places.compared),
    )
    pools: dict[int, pd.DataFrame] = {}
    for rung, least, circles_of in ladder:
        waiting = parts.index[parts["pool"] < 0]
        if not len(waiting):
            break
        asked = parts.loc[waiting]
        circles = circles_of(pd.Index(asked["position_id"].unique()))
        circle = asked["position_id"].map(circles.of)
        found = _pools(asked["kind"], circle, circles.members, lives, least)
        number = {key: len(pools) + place for place, key in enumerate(found)}
        pools |= {number[key]: rows for key, rows in found.items()}
        pool = [number.get(key, -1) for key in zip(asked["kind"], circle, strict=True)]
        parts.loc[waiting, "pool"] = pool
        parts.loc[waiting[np.array(pool) >= 0], "rung"] = rung.value
    return PartPools(parts.drop(columns="kind"), pools)


def _counted(sample: Sample) -> pd.DataFrame:
    """Lives that may take part in a pool."""
    used = sample.used
    counts = used["condition_fitted"].isin(COUNTED_CONDITIONS)
    lives = used[counts & (used["part"] != "") & used["position_id"].notna()]
    return lives.assign(position_id=lives["position_id"].astype("int64"))


def _pools(
    kind: "pd.Series[int]",
    circle: "pd.Series[int]",
    members: pd.DataFrame,
    lives: pd.DataFrame,
    least: int,
) -> dict[tuple[int, int], pd.DataFrame]:
    """Lives by kind of part and circle, where at least so many failed."""
    asked = pd.DataFrame({"kind": kind, "circle": circle}).drop_duplicates()
    here = pd.DataFrame(
        {
            "row": np.arange(len(lives)),
            "kind": lives["kind"].to_numpy(),
            "position_id": lives["position_id"].to_numpy(),
            "failed": (lives["status"] == Status.FAILED).to_numpy(),
        }
    )
    here = here[here["kind"].isin(asked["kind"])]
    held = here.merge(members, on="position_id").merge(asked, on=["kind", "circle"])
    by_pool = held.groupby(["kind", "circle"], sort=False)
    held = held[by_pool["failed"].transform("sum") >= least].sort_values("row")
    groups = held.groupby(["kind", "circle"], sort=False)["row"]
    return {cast(tuple[int, int], key): lives.iloc[rows] for key, rows in groups}
