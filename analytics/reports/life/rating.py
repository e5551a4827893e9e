"""What bearings were rated for against what they did: ISO 281 beside observed B10."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from analytics.ages import Clock
from analytics.life.errors import LifeError
from analytics.life.results import Estimate
from analytics.life.weibull import weibull_fit
from analytics.reports.life.reading import LifeReading
from analytics.samples import Sample, Status
from plant.choices import Component
from plant.models import FittedLife, User
from plant.ratings import (
    LIFE_TARGETS,
    LifeTarget,
    RatingError,
    RollingElement,
    Scope,
    basic_rating_life_hours,
    system_rating_life_hours,
)

MOST_DESIGNATIONS = 30
# Series of roller bearings in the usual designations (from memory): cylindrical N..,
# spherical 213.. and 222.. to 241.., tapered 302.. to 332..; five digits or more.
ROLLERS = re.compile(r"^(N[A-Z]*\s*\d|2[1-4]\d{3}|3[0-3]\d{3})", re.IGNORECASE)
NEEDED = {
    "dynamic_rating_kn": "the dynamic rating C of the bearing, from its maker's tables",
    "load_kn": "the equivalent load P it carries, from the pump's data sheet",
    "speed_rpm": "the speed of the position",
}


@dataclass(frozen=True, slots=True, eq=False)
class RatedDesignation:
    """One designation: ratings of its lives, and what was observed of them."""

    name: str
    kind: RollingElement
    sample: Sample
    missing: dict[str, int]
    ratings: tuple[float, ...]
    b10: Estimate | None
    refusal: str

    @property
    def lives(self) -> int:
        return len(self.sample.rows)

    @property
    def median(self) -> float | None:
        """Rating life of the middle one of these lives, in hours."""
        return float(np.median(self.ratings)) if self.ratings else None


@dataclass(frozen=True, slots=True)
class TargetMet:
    """How many of what is in service reach a rating life that a standard asks for."""

    target: LifeTarget
    met: int
    known: int
    unknown: int


@dataclass(frozen=True, slots=True, eq=False)
class LifeRatings:
    """Designations by number of lives; `refusal` where ratings make no sense."""

    reading: LifeReading
    designations: tuple[RatedDesignation, ...] = ()
    targets: tuple[TargetMet, ...] = ()
    refusal: str = ""

    @property
    def missing(self) -> dict[str, int]:
        """For how many lives each of C, P and speed is not recorded."""
        return {
            name: sum(one.missing[name] for one in self.designations) for name in NEEDED
        }


def life_ratings(*, user: User, reading: LifeReading) -> LifeRatings:
    """Rate every bearing of the population whose C, P and speed are on record."""
    refusal = _refusal(reading)
    if refusal:
        return LifeRatings(reading, refusal=refusal)
    rows = _with_ratings(user, reading)
    groups = sorted(rows.groupby("part"), key=lambda group: -len(group[1]))
    confidence = reading.question.confidence
    return LifeRatings(
        reading,
        tuple(
            _designation(str(name), reading.sample.narrowed(part), confidence)
            for name, part in groups[:MOST_DESIGNATIONS]
        ),
        tuple(_targets(rows, reading)),
    )


def _refusal(reading: LifeReading) -> str:
    if Component.SEAL in reading.question.choice.components:
        return "Rating life is a matter of rolling bearings. Choose bearings above."
    if reading.sample.rule.clock is not Clock.HOURS:
        return (
            "Rating life is in running hours. Count the age in running hours to set "
            "both side by side."
        )
    if reading.sample.rows.empty:
        return "No bearing on record meets this choice. Widen it."
    return ""


def kind_of(designation: str) -> RollingElement:
    """Balls or rollers, as far as the designation tells."""
    is_roller = ROLLERS.match(designation.strip())
    return RollingElement.ROLLER if is_roller else RollingElement.BALL


def _with_ratings(user: User, reading: LifeReading) -> pd.DataFrame:
    """Rows of the sample with C, P, speed and the rating life they give."""
    choice = reading.question.choice
    bearings = FittedLife.objects.visible_to(user).filter(
        component__in=choice.components
    )
    if choice.part:
        bearings = bearings.filter(designation=choice.part)
    fields = ("pk", "dynamic_rating_kn", "load_kn")
    known = pd.DataFrame.from_records(
        list(bearings.order_by().values_list(*fields)),
        columns=["life_id", *fields[1:]],
    )
    speeds = dict(reading.tables.positions.values_list("pk", "speed_rpm"))
    rows = reading.sample.rows.merge(known, on="life_id", how="left")
    rows["speed_rpm"] = rows["position_id"].map(speeds)
    for name in NEEDED:
        rows[name] = pd.to_numeric(rows[name]).astype(float)
    facts = zip(
        rows["dynamic_rating_kn"],
        rows["load_kn"],
        rows["speed_rpm"],
        rows["part"],
        strict=True,
    )
    rows["rating"] = [_rating(c, p, n, part) for c, p, n, part in facts]
    return rows


def _rating(c: float, p: float, n: float, designation: str) -> float:
    try:
        return float(basic_rating_life_hours(c, p, n, kind_of(designation)))
    except RatingError:
        return float("nan")


def _designation(name: str, sample: Sample, confidence: float) -> RatedDesignation:
    rows = sample.rows
    b10, refusal = None, ""
    try:
        b10 = weibull_fit(sample.life_data(), confidence).b_life(10.0)
    except LifeError as error:
        refusal = str(error)
    return RatedDesignation(
        name=name,
        kind=kind_of(name),
        sample=sample,
        missing={field: int(rows[field].isna().sum()) for field in NEEDED},
        ratings=tuple(rows["rating"].dropna()),
        b10=b10,
        refusal=refusal,
    )


def _targets(rows: pd.DataFrame, reading: LifeReading) -> list[TargetMet]:
    """What is in service now against what the standards ask for."""
    fitted = rows[~rows["closed"].astype(bool)]
    thrust = fitted[fitted["component"] == Component.THRUST]
    lives = {
        Scope.BEARING: fitted["rating"].tolist(),
        Scope.THRUST: thrust["rating"].tolist(),
        Scope.SYSTEM: [
            _system(part["rating"].tolist()) for _, part in fitted.groupby("pump_id")
        ],
    }
    has_all = reading.question.component == "bearing" and not (
        reading.question.choice.part or reading.question.choice.location
    )
    left_out = set() if has_all else {Scope.SYSTEM}
    if Component.THRUST not in reading.question.choice.components:
        left_out.add(Scope.THRUST)
    return [
        _met(target, lives[target.scope])
        for target in LIFE_TARGETS
        if target.scope not in left_out
    ]


def _system(lives: Sequence[float]) -> float:
    """Life of all bearings of one pump, not-a-number unless each is known."""
    return float("nan") if np.isnan(lives).any() else system_rating_life_hours(lives)


def _met(target: LifeTarget, lives: Sequence[float]) -> TargetMet:
    known = [life for life in lives if not np.isnan(life)]
    return TargetMet(
        target,
        met=sum(life >= target.hours for life in known),
        known=len(known),
        unknown=len(lives) - len(known),
    )


def failures_of(one: RatedDesignation) -> int:
    """Failures behind the observed B10."""
    return one.sample.count(Status.FAILED)
