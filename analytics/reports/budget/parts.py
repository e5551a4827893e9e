"""Parts in service that will fail, and parts renewed with other work, by area."""

from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from typing import Any
from zlib import crc32

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from analytics.life.errors import LifeError
from analytics.life.failure_simulation import Groups
from analytics.life.forecast import expected_failures_by_group
from analytics.life.weibull import WeibullFit, weibull_fit
from analytics.money.budget import PRIOR_EVENTS, RUNS, Demand, events_at_a_rate
from analytics.part_pools import POPULATION
from analytics.reports.life.estimate import OF_A_FIT
from analytics.reports.life.in_service import YEAR_DAYS, lives_in_service
from analytics.samples import Sample, SampleRule, Status, end_of_day, sample_build
from analytics.scope import Scope
from plant.choices import Ending
from records.selectors.lives import LifeFilter, life_tables

LEAST_FAILURES = 5
# Endings after which no like part goes in, or that say nothing of one.
NOT_RENEWED = (Ending.STILL_IN, Ending.UPGRADED, Ending.RETIRED)
# Simulated lives in all; larger fleets take fewer runs.
MOST_DRAWS = 8_000_000
FEWEST_RUNS = 400
Ints = NDArray[np.int64]
# Places of rows by component, part and piping plan.
Rows = dict[Any, Any]
# A component at a position.
Place = tuple[str, int]
AHEAD_YEARS = 1.0


@dataclass(frozen=True, slots=True, eq=False)
class PartDemand:
    """One kind of part: what fails, what is renewed, and what that rests on."""

    component: str
    part: str
    standing: Ints
    """Parts in service in each area."""
    failed: int
    lives: int
    is_pooled: bool
    """Whether the life is that of all parts of the component."""
    failing: Demand
    renewed: Demand
    renewed_seen: Ints
    """In each area."""
    warnings: tuple[str, ...]
    counted: Ints | None = None
    """Failures counted in each area, where no life tells of them."""


@dataclass(frozen=True, slots=True, eq=False)
class PartsAhead:
    """Demands of all kinds of parts, over the areas in the order given."""

    parts: tuple[PartDemand, ...]
    runs: int
    without_life: Ints
    """Parts in service in each area, of a component of which too few have failed."""
    unusable: int
    """Parts in service whose age is not known."""
    forecast: frozenset[Place]
    """Where a part stands whose failures are forecast from its age."""
    begun: dict[Place, datetime]
    """When the first life on record of a component began at a position."""


def parts_ahead(scope: Scope, areas: dict[int, int], years_seen: float) -> PartsAhead:
    """Forecast a year from ages in service, for every area of the sites asked for.

    `areas` gives the place of each area; `years_seen` is how far back renewals with
    other work are counted.
    """
    choice = LifeFilter(site=scope.site.pk if scope.site else None)
    rule = SampleRule(as_of=end_of_day(scope.window.end))
    tables = life_tables(user=scope.user, choice=choice, as_of=rule.as_of)
    sample = sample_build(tables, rule)
    found = lives_in_service(sample, tables)
    standing = dict(scope.positions().order_by().values_list("pk", "area"))
    here = found.rows.assign(place=found.rows["position_id"].map(standing).map(areas))
    here = here[here["place"].notna() & (here["part"] != "")]
    here = here.assign(place=here["place"].astype("int64"))
    here["ahead"] = here["year"] * AHEAD_YEARS
    runs = int(np.clip(MOST_DRAWS // max(len(here), 1), FEWEST_RUNS, RUNS))
    renewed = _renewed(sample, areas, rule, years_seen)
    answer = _Answer(
        sample,
        len(areas),
        runs,
        years_seen,
        renewed,
        here["component"].value_counts().to_dict(),
    )
    parts: list[PartDemand] = []
    told: set[Place] = set()
    for (component, part, plan), rows in here.groupby(POPULATION, sort=True):
        made = answer.part(str(component), str(part), str(plan), rows)
        if made is not None:
            parts.append(made)
            told |= _places(rows)
    covered = sum((part.standing for part in parts), np.zeros(len(areas), np.int64))
    standing_here = np.bincount(here["place"], minlength=len(areas))
    return PartsAhead(
        parts=tuple(parts),
        runs=runs,
        without_life=standing_here - covered,
        unusable=found.unusable,
        forecast=frozenset(told),
        begun=_begun(tables.lives),
    )


def _places(rows: pd.DataFrame) -> set[Place]:
    return set(
        zip(rows["component"].tolist(), rows["position_id"].tolist(), strict=True)
    )


def _begun(lives: pd.DataFrame) -> dict[Place, datetime]:
    """The first fitting of a component at each position, whatever its condition."""
    placed = lives[lives["position_id"].notna()]
    first = placed.groupby(["component", "position_id"], sort=False)["fitted_at"].min()
    places = first.index.to_frame(index=False)
    return {
        (str(component), int(position)): fitted.to_pydatetime()
        for component, position, fitted in zip(
            places["component"], places["position_id"], first, strict=True
        )
    }


def _renewed(
    sample: Sample, areas: dict[int, int], rule: SampleRule, years: float
) -> pd.DataFrame:
    """Parts taken out for another reason than their own failure, for a like one."""
    rows = sample.rows
    out = rows["removed_at"].fillna(rows["ended"])
    since = pd.Timestamp(rule.as_of) - pd.Timedelta(days=years * YEAR_DAYS)
    taken = rows["closed"].astype(bool) & (out > since)
    others = (rows["status"] != Status.FAILED) & ~rows["ending"].isin(NOT_RENEWED)
    chosen = rows[taken & others]
    chosen = chosen.assign(place=chosen["area_id"].map(areas))
    return chosen[chosen["place"].notna()]


@dataclass(frozen=True, eq=False)
class _Answer:
    """What every kind of part is forecast with."""

    sample: Sample
    areas: int
    runs: int
    years_seen: float
    renewed: pd.DataFrame
    standing: dict[Any, int]
    """Parts in service by component, in the areas asked for."""

    def part(
        self, component: str, part: str, plan: str, rows: pd.DataFrame
    ) -> PartDemand | None:
        """The demand of one population, or nothing where no life is known."""
        name = (component, part, plan)
        found = self._fit(name)
        if found is None:
            return None
        fit, is_pooled = found
        label = f"{part}, plan {plan}" if plan else part
        place = rows["place"].to_numpy(np.int64)
        age, ahead = rows["age"].to_numpy(float), rows["ahead"].to_numpy(float)
        try:
            forecast = expected_failures_by_group(
                age,
                fit,
                ahead,
                Groups(place, self.areas),
                self.runs,
                doubt_seed=kind_seed(component if is_pooled else label, component),
                chance_seed=kind_seed("chance", component, label),
            )
        except LifeError:
            return None
        renewed, seen = self._renewals(name, label, place)
        return PartDemand(
            component=component,
            part=label,
            standing=np.bincount(place, minlength=self.areas).astype(np.int64),
            failed=fit.failures,
            lives=fit.failures + fit.suspensions,
            is_pooled=is_pooled,
            failing=Demand(label, forecast.expected, forecast.drawn),
            renewed=renewed,
            renewed_seen=seen,
            warnings=forecast.warnings,
        )

    def _renewals(
        self, name: tuple[str, str, str], label: str, place: Ints
    ) -> tuple[Demand, Ints]:
        """Those to come of a kind that stands at `place`, and those seen by area."""
        counts = self._counts(name)
        standing = np.bincount(place, minlength=self.areas)
        expected, drawn = events_at_a_rate(
            counts.tolist(),
            self.years_seen,
            AHEAD_YEARS,
            self.runs,
            usual=(standing * self._usual(name[0])).tolist(),
            seed=kind_seed("renewed", name[0], label),
        )
        return Demand(label, expected, drawn, fails=False), counts

    def _usual(self, component: str) -> float:
        """Renewals of one part of the component in the time seen, half of one added."""
        seen = self._renewed_in_all.get(component, 0)
        return (seen + PRIOR_EVENTS) / self.standing[component]

    def _counts(self, name: tuple[str, str, str]) -> Ints:
        rows = self._renewed_of.get(name, [])
        place = self.renewed["place"].to_numpy(np.int64)[rows]
        return np.bincount(place, minlength=self.areas).astype(np.int64)

    def _fit(self, name: tuple[str, str, str]) -> tuple[WeibullFit, bool] | None:
        """The life of the part itself, else that of all parts of its component."""
        own = _life(self.sample, self._slim.take(self._lives_of.get(name, [])))
        if own is not None:
            return own, False
        pooled = self._pooled(name[0])
        return None if pooled is None else (pooled, True)

    def _pooled(self, component: str) -> WeibullFit | None:
        """Asked for by every rare part of the component, and fitted once."""
        if component not in self._of_component:
            same = (self.sample.used["component"] == component).to_numpy()
            self._of_component[component] = _life(self.sample, self._slim[same])
        return self._of_component[component]

    @cached_property
    def _slim(self) -> pd.DataFrame:
        return self.sample.used[[*OF_A_FIT]]

    @cached_property
    def _lives_of(self) -> Rows:
        return self.sample.used.groupby(POPULATION).indices

    @cached_property
    def _renewed_of(self) -> Rows:
        return self.renewed.groupby(POPULATION).indices

    @cached_property
    def _renewed_in_all(self) -> dict[Any, int]:
        return self.renewed["component"].value_counts().to_dict()

    @cached_property
    def _of_component(self) -> dict[str, WeibullFit | None]:
        return {}


def kind_seed(*names: str) -> int:
    """One of its own for each kind, whatever else is asked for with it."""
    return crc32("|".join(names).encode())


def _life(sample: Sample, lives: pd.DataFrame) -> WeibullFit | None:
    """The life that some rows tell, or nothing where too few failed."""
    if int((lives["status"] == Status.FAILED).sum()) < LEAST_FAILURES:
        return None
    try:
        data = sample.narrowed(lives).life_data()
        # Draws of the life need none of the limits that take long to work out.
        return weibull_fit(data, intervals="wald_log")
    except LifeError:
        return None
