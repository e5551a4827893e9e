"""What stands in the pump now: its age, what becomes of its like, and its past."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from typing import Any, cast

import numpy as np
import pandas as pd

from analytics.life.errors import LifeError
from analytics.life.results import Estimate
from analytics.life.weibull import WeibullFit, weibull_fit
from analytics.part_pools import (
    COUNTED_CONDITIONS,
    ENOUGH_FAILURES,
    POPULATION,
    Places,
    part_pools,
)
from analytics.reports.life.forecast import QUARTER
from analytics.reports.life.in_service import YEAR_DAYS
from analytics.reports.story.lives import StoryLives
from analytics.reports.story.subject import Subject
from analytics.samples import Sample, Status
from plant.choices import Beginning, Location
from plant.models import Position
from records.selectors.hours import running_hours

Row = dict[str, Any]
HORIZON_DAYS = int(QUARTER.days)
CONFIDENCE = 0.90
SHORT, LONG = 0.10, 0.90


class Length(StrEnum):
    """A life beside its population; the value is what a page prints."""

    SHORT = "short"
    ORDINARY = "ordinary"
    LONG = "long"


@dataclass(frozen=True, slots=True)
class PastLife:
    """An ended life of the same place that failed, and how long that was.

    `length` is none where the population says nothing.
    """

    life: int
    hours: float
    fitted_at: datetime
    length: Length | None


@dataclass(frozen=True, slots=True, eq=False)
class PartStory:
    """One part still in; ages in running hours, none where not known.

    `fit` tells the chance of failing; `others` is the life of the part elsewhere, which
    tells what is short: in the same area where `others_near`. `early` are own failures
    before the age that one in ten elsewhere fails by, `early_expected` what that life
    makes of all own lives, those that did not fail among them.
    """

    location: str
    component: str
    part: str
    plan: str
    fitted_at: datetime
    age: float | None
    age_estimated: bool
    population: str
    lives: int
    failed: int
    fit: WeibullFit | None
    refusal: str
    others: WeibullFit | None
    others_near: bool
    others_bar_worst: WeibullFit | None
    early: int
    early_expected: float
    ahead_hours: float
    chance: Estimate | None
    age_now: Length | None
    past: tuple[PastLife, ...]

    @property
    def place(self) -> str:
        return str(Location(self.location).label)

    @property
    def label(self) -> str:
        return f"{self.place}, {self.part or 'part not named'}"


def part_stories(
    subject: Subject, lives: StoryLives, places: Places
) -> tuple[PartStory, ...]:
    """Each part that the subject carries now; two queries."""
    if subject.machine is None:
        return ()
    ahead = hours_ahead(subject)
    rows = lives.still_in(subject.machine.pk)
    pools = _pools(rows, subject, lives, places)
    return tuple(
        _part(row, pool, lives, ahead)
        for row, pool in zip(records_of(rows), pools, strict=True)
    )


def _pools(
    rows: pd.DataFrame, subject: Subject, lives: StoryLives, places: Places
) -> list[tuple[str, Sample]]:
    """The pool that tells the chance of each part, with whose lives it holds."""
    sample = lives.sample
    if subject.place is None:
        nothing = sample.narrowed(sample.rows.iloc[:0])
        return [("nothing compared", nothing)] * len(rows)
    found = part_pools(rows.assign(position_id=subject.place.pk), sample, places)
    none = sample.rows.iloc[:0]
    pools = zip(found.parts["rung"], found.parts["pool"], strict=True)
    return [
        (str(rung), sample.narrowed(found.lives.get(pool, none)))
        for rung, pool in pools
    ]


def records_of(rows: pd.DataFrame) -> list[Row]:
    """Lives one by one, by the names of their columns."""
    return cast(list[Row], rows.to_dict("records"))


def hours_ahead(subject: Subject) -> float:
    """Running hours of the next 90 days at the place; none in the store."""
    if subject.place is None or not subject.is_placed:
        return 0.0
    spans = pd.DataFrame(
        {"position": [subject.place.pk], "zone": [subject.place.site.time_zone]}
    )
    now = np.array([subject.as_of.timestamp()])
    # A share of the year, as the lists of the fleet and the Life page take it.
    later = now + timedelta(days=YEAR_DAYS).total_seconds()
    places = Position.objects.filter(pk=subject.place.pk)
    year = float(running_hours(places, spans, now, later).hours[0])
    return year * QUARTER.days / YEAR_DAYS


def _part(
    row: Row, pool: tuple[str, Sample], lives: StoryLives, ahead: float
) -> PartStory:
    rung, sample = pool
    fit, refusal = _fit(sample)
    elsewhere, own, is_near = _elsewhere_and_own(row, lives)
    others, _ = _fit(elsewhere)
    early, expected = early_failures(own, others)
    age = _age(row)
    return PartStory(
        location=str(row["location"]),
        component=str(row["component"]),
        part=str(row["part"]),
        plan=str(row["piping_plan"]),
        fitted_at=row["fitted_at"].to_pydatetime(),
        age=age,
        age_estimated=bool(row["estimated"]),
        population=_population(row, rung),
        lives=len(sample.used),
        failed=sample.count(Status.FAILED),
        fit=fit,
        refusal=refusal,
        others=others,
        others_near=is_near,
        others_bar_worst=_bar_worst(elsewhere, others),
        early=early,
        early_expected=expected,
        ahead_hours=ahead,
        chance=_chance(fit, age, ahead),
        age_now=length_of(age, others),
        past=_past(row, lives.own, others),
    )


def _population(row: Row, rung: str) -> str:
    """The part with its plan, and whose lives of it tell the chance."""
    plan = f", plan {row['piping_plan']}" if row["piping_plan"] else ""
    name = f"{row['part'] or 'part not named'}{plan}"
    return f"{name}, {rung}" if rung else name


def _of_same_part(row: Row, sample: Sample) -> Sample:
    rows = sample.rows
    same = rows["condition_fitted"].isin(COUNTED_CONDITIONS)
    for name in POPULATION:
        same &= rows[name] == row[name]
    return sample.narrowed(rows[same])


def _elsewhere_and_own(row: Row, lives: StoryLives) -> tuple[Sample, Sample, bool]:
    """The part's lives in other pumps, of the area where enough failed, and here."""
    same = _of_same_part(row, lives.sample)
    is_own = same.rows["life_id"].isin(lives.own["life_id"])
    others, own = same.narrowed(same.rows[~is_own]), same.narrowed(same.rows[is_own])
    near = others.narrowed(others.rows[others.rows["area_id"] == row["area_id"]])
    is_near = near.count(Status.FAILED) >= ENOUGH_FAILURES
    return near if is_near else others, own, is_near


def _bar_worst(sample: Sample, fit: WeibullFit | None) -> WeibullFit | None:
    """The life without the position where most failed, where a fit is below one.

    One pump that uses up its parts makes those of all look as if they died young.
    """
    if fit is None or fit.shape_interval.high >= 1:
        return None
    rows = sample.rows
    failed = rows[rows["status"] == Status.FAILED]
    worst = failed["position_id"].value_counts().idxmax()
    without, _ = _fit(sample.narrowed(rows[rows["position_id"] != worst]))
    return without


def early_failures(own: Sample, others: WeibullFit | None) -> tuple[int, float]:
    """Own failures before the B10 age elsewhere, and how many were to be expected.

    Each own life adds the cumulative hazard of its watch up to that age, so that lives
    that did not fail count as much as those that did.
    """
    used = own.used
    if others is None or used.empty:
        return 0, 0.0
    limit = others.b_life(100 * SHORT).value
    age, entry = (used[name].to_numpy(float) for name in ("age", "entry_age"))
    end, start = np.minimum(age, limit), np.minimum(entry, limit)
    at_end, at_start = ((a / others.scale) ** others.shape for a in (end, start))
    failed = (used["status"] == Status.FAILED).to_numpy()
    return int((failed & (age < limit)).sum()), float((at_end - at_start).sum())


def _fit(sample: Sample) -> tuple[WeibullFit | None, str]:
    """The Weibull life of a sample, or the sentence that refuses it."""
    if sample.used.empty:
        return None, "No life of this part can be used yet."
    try:
        return weibull_fit(sample.life_data(), CONFIDENCE), ""
    except LifeError as error:
        return None, str(error)


def _age(row: Row) -> float | None:
    """Hours of a part still in; none where its beginning is not known."""
    is_known = row["beginning"] != Beginning.UNKNOWN and row["age"] == row["age"]
    return float(row["age"]) if is_known else None


def _chance(fit: WeibullFit | None, age: float | None, ahead: float) -> Estimate | None:
    if fit is None or age is None or ahead <= 0:
        return None
    return fit.conditional_failure_estimate(age, ahead)


def length_of(age: float | None, fit: WeibullFit | None) -> Length | None:
    """Below the age that one in ten of others fails by, above that of nine in ten."""
    if age is None or fit is None:
        return None
    failed_by_then = 1.0 - float(np.exp(-((age / fit.scale) ** fit.shape)))
    if failed_by_then < SHORT:
        return Length.SHORT
    return Length.LONG if failed_by_then > LONG else Length.ORDINARY


def _past(
    row: Row, own: pd.DataFrame, others: WeibullFit | None
) -> tuple[PastLife, ...]:
    """Lives of the same place that failed, oldest first; of whatever part they were."""
    same = own[(own["location"] == row["location"]) & (own["status"] == Status.FAILED)]
    return tuple(
        PastLife(
            int(life["life_id"]),
            float(life["age"]),
            life["fitted_at"].to_pydatetime(),
            length_of(float(life["age"]), others)
            if life["part"] == row["part"]
            else None,
        )
        for life in same.sort_values("fitted_at").to_dict("records")
    )
