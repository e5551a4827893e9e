"""Seals and bearings in service that are likely to fail in the next 90 days."""

from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd
from scipy import stats

from analytics.life.errors import LifeError
from analytics.life.weibull import weibull_fit_many
from analytics.life.weibull.functions import conditional_failure
from analytics.part_pools import PartPools, Places, Rung, part_pools
from analytics.reports.life.forecast import QUARTER
from analytics.reports.life.in_service import lives_in_service
from analytics.samples import Sample, SampleRule, Status, end_of_day, sample_build
from analytics.scope import Scope
from plant.choices import ConditionFitted
from plant.models import Position
from records.selectors.lives import LifeFilter, life_tables

# With fewer the fitted shape says too little about any one part.
LEAST_FAILURES = 5


@dataclass(frozen=True, slots=True)
class PartLikely:
    """One part in service with its chance of failing, and the lives behind that."""

    pump: int
    serial: str
    position: int
    tag: str
    location: str
    component: str
    part: str
    plan: str
    age_hours: float
    chance: float
    rung: Rung
    """Whose lives its chance rests on."""
    area: int
    failed: int
    lives: int


@dataclass(frozen=True, slots=True)
class LikelyFailures:
    """Parts with a chance, the likeliest first.

    `low` and `high` hold chance alone, as if the lives were exactly as fitted.
    """

    parts: tuple[PartLikely, ...]
    expected: float
    low: int
    high: int
    confidence: float
    without_fit: int
    """Parts in service whose pool has fewer failures than are needed."""
    unusable: int
    """Parts in service whose age is not known."""


def likely_failures(scope: Scope) -> LikelyFailures:
    """Chances by the ladder of pools that the story of a pump goes by too.

    Site and area narrow the parts shown; what their chance rests on stays the same.
    The number of queries does not depend on the records.
    """
    choice = LifeFilter(site=scope.site.pk if scope.site else None)
    conditions = tuple(ConditionFitted.values)
    rule = SampleRule(as_of=end_of_day(scope.window.end), conditions=conditions)
    tables = life_tables(user=scope.user, choice=choice, as_of=rule.as_of)
    sample = sample_build(tables, rule)
    found = lives_in_service(sample, tables)
    places = _places(scope)
    here = found.rows[found.rows["position_id"].isin(_asked(places, scope))]
    ahead = pd.Series(found.ahead(QUARTER.days), found.rows.index)
    named = here.assign(ahead=ahead[here.index])
    named = named[named["part"] != ""]
    pools = part_pools(named, sample, places)
    rows = _with_chances(pools, sample, places)
    parts = tuple(_part(row) for row in rows.to_dict("records"))
    expected = float(sum(part.chance for part in parts))
    # As wide as the sum of unequal chances can be, and a little wider.
    half = (1.0 - scope.confidence) / 2
    low, high = stats.poisson.ppf(np.array([half, 1.0 - half]), expected).tolist()
    return LikelyFailures(
        parts=parts,
        expected=expected,
        low=int(max(low, 0.0)),
        high=int(high),
        confidence=scope.confidence,
        without_fit=len(here) - len(parts),
        unusable=found.unusable,
    )


def _places(scope: Scope) -> Places:
    """All positions of the sites: what is compared goes beyond the chosen area."""
    rows = Position.objects.visible_to(scope.user)
    if scope.site is not None:
        rows = rows.filter(site=scope.site)
    ordered = rows.order_by("tag", "pk")
    return Places.of_rows(ordered.values_list("pk", "site", "area", "liquid"))


def _asked(places: Places, scope: Scope) -> "pd.Index[int]":
    table = places.table
    if scope.area is None:
        return table.index
    return table.index[table["area"] == scope.area.pk]


def _with_chances(pools: PartPools, sample: Sample, places: Places) -> pd.DataFrame:
    """Parts of pools that have a fit, the likeliest to fail first."""
    rows = pools.parts.merge(_fits(pools, sample), on="pool")
    given = zip(rows["shape"], rows["scale"], rows["age"], rows["ahead"], strict=True)
    rows["chance"] = [
        conditional_failure(shape, scale, age, ahead)
        for shape, scale, age, ahead in given
    ]
    rows["area"] = places.table["area"].reindex(rows["position_id"]).to_numpy()
    return rows.sort_values(["chance", "tag"], ascending=[False, True], kind="stable")


def _fits(pools: PartPools, sample: Sample) -> pd.DataFrame:
    """One row a pool with enough failures."""
    names, data = [], []
    for name, lives in pools.lives.items():
        if (lives["status"] == Status.FAILED).sum() < LEAST_FAILURES:
            continue
        try:
            data.append(sample.narrowed(lives).life_data())
        except LifeError:
            continue
        names.append(name)
    fits = weibull_fit_many(data)
    table = pd.DataFrame({"pool": pd.Series(names, dtype="int64")}).assign(
        shape=fits.shape,
        scale=fits.scale,
        failed=fits.failures,
        lives=fits.failures + fits.suspensions,
    )
    fitted: pd.DataFrame = table[np.asarray(fits.fitted)]
    return fitted


def _part(row: dict[Any, Any]) -> PartLikely:
    return PartLikely(
        pump=int(row["pump_id"]),
        serial=row["serial_number"],
        position=int(row["position_id"]),
        tag=row["tag"],
        location=row["location"],
        component=row["component"],
        part=row["part"],
        plan=row["piping_plan"],
        age_hours=float(row["age"]),
        chance=float(row["chance"]),
        rung=Rung(row["rung"]),
        area=int(row["area"]),
        failed=int(row["failed"]),
        lives=int(row["lives"]),
    )
