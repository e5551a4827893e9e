"""Whether parts of a population live equally long: groups, test, ratio of lives."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

import pandas as pd

from analytics.life.compare import WeibullComparison, weibull_likelihood_ratio
from analytics.life.data import LifeData
from analytics.life.drivers import LifeDrivers, life_drivers
from analytics.life.errors import LifeError
from analytics.life.weibull import WeibullFit
from analytics.reports.life.estimate import LifeEstimate, life_estimate
from analytics.reports.life.question import LifeQuestion
from analytics.reports.life.reading import LifeReading, life_reading
from analytics.reports.life.words import nothing_to_fit
from analytics.samples import Sample, Status
from plant.models import Area, User
from records.selectors.lives import LifeFilter

MOST_GROUPS = 4
NOT_RECORDED = "not recorded"
# Chance below which a difference is called one.
TELLING = 0.05


class Split(StrEnum):
    """By what a population is parted; the value is the field of the sample."""

    PART = "part"
    PLAN = "piping_plan"
    AREA = "area_id"
    LIQUID = "liquid"
    FITTED = "fitted"


SPLIT_NAMES = {
    Split.PART: "Part or designation",
    Split.PLAN: "Piping plan",
    Split.AREA: "Area",
    Split.LIQUID: "Liquid",
    Split.FITTED: "Fitted before or after a date",
}


@dataclass(frozen=True, slots=True)
class ComparisonAsked:
    """How to part the population; `groups` empty means the best filled ones."""

    split: Split | None = None
    changed_on: date | None = None
    groups: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class LifeGroup:
    """One side of the comparison."""

    name: str
    sample: Sample
    estimate: LifeEstimate

    @property
    def fit(self) -> WeibullFit | None:
        return self.estimate.fit


@dataclass(frozen=True, slots=True, eq=False)
class LifeComparison:
    """Groups with the test of equal lives; `refusal` where it cannot be made."""

    reading: LifeReading
    split: Split | None
    groups: tuple[LifeGroup, ...] = ()
    others: tuple[str, ...] = ()
    """Groups of the sample that were not compared."""
    test: WeibullComparison | None = None
    ratios: LifeDrivers | None = None
    no_ratio: str = ""
    refusal: str = ""

    @property
    def fitted(self) -> list[LifeGroup]:
        """The groups that carry a fit: those that are tested."""
        return [group for group in self.groups if group.fit is not None]

    @property
    def differs(self) -> bool:
        """Whether a difference is shown.

        Groups before and after a date were not watched equally long, which the
        permutation takes for granted: then both ways of judging must say so.
        """
        if self.test is None:
            return False
        chances = [self.test.p_value]
        if self.split is Split.FITTED:
            chances.append(self.test.p_value_chi_square)
        return max(chances) < TELLING


def split_usual(choice: LifeFilter) -> Split:
    """What is left to compare by, once the choice itself is made."""
    if not choice.part:
        return Split.PART
    return Split.AREA if choice.piping_plan or choice.area else Split.PLAN


def life_comparison(
    *, user: User, reading: LifeReading, asked: ComparisonAsked
) -> LifeComparison:
    """Compare groups of one sample or, where asked in the question, two samples."""
    other = reading.question.other
    if asked.split is None and other is not None:
        second = life_reading(user=user, question=other)
        pair = [_group_of(one) for one in (reading, second)]
        return _compared(reading, None, pair, ())
    split = asked.split or split_usual(reading.question.choice)
    if split is Split.FITTED and asked.changed_on is None:
        words = "Type the date of the change to compare before with after."
        return LifeComparison(reading, split, refusal=words)
    named = _parted(reading.sample, split, asked.changed_on)
    wanted = [name for name in named if name in asked.groups] or list(named)
    chosen = wanted[:MOST_GROUPS]
    groups = [
        _group(name, named[name], reading.question) for name in named if name in chosen
    ]
    others = tuple(name for name in named if name not in chosen)
    return _compared(reading, split, groups, others)


def _group_of(reading: LifeReading) -> LifeGroup:
    return LifeGroup(reading.question.name, reading.sample, reading.estimate)


def _group(name: str, sample: Sample, question: LifeQuestion) -> LifeGroup:
    return LifeGroup(name, sample, life_estimate(sample, question))


def _parted(sample: Sample, split: Split, day: date | None) -> dict[str, Sample]:
    """Samples by name: those with most failures first, before ahead of after."""
    rows = sample.rows
    if split is Split.FITTED:
        local = [
            moment.tz_convert(zone).date()
            for moment, zone in zip(rows["fitted_at"], rows["time_zone"], strict=True)
        ]
        after = pd.Series([fitted >= day for fitted in local], rows.index, dtype=bool)
        sides = {f"Fitted before {day}": ~after, f"Fitted from {day} on": after}
        return {name: sample.narrowed(rows[side]) for name, side in sides.items()}
    named = rows.assign(group=_names(rows, split)).groupby("group", sort=True)
    parts = {str(name): sample.narrowed(part) for name, part in named}
    failures = {name: part.count(Status.FAILED) for name, part in parts.items()}
    return dict(sorted(parts.items(), key=lambda item: (-failures[item[0]], item[0])))


def _names(rows: pd.DataFrame, split: Split) -> "pd.Series[str]":
    values = rows[str(split)]
    if split is Split.AREA:
        areas = Area.objects.select_related("site")
        names = {area.pk: f"{area.site}: {area.name}" for area in areas}
        return values.map(names).fillna(NOT_RECORDED)
    return values.mask(values.isna() | (values == ""), NOT_RECORDED)


def _compared(
    reading: LifeReading,
    split: Split | None,
    groups: Sequence[LifeGroup],
    others: tuple[str, ...],
) -> LifeComparison:
    found = LifeComparison(reading, split, tuple(groups), others)
    fitted = found.fitted
    if len(fitted) < 2:
        return LifeComparison(
            reading, split, tuple(groups), others, refusal=_too_few(reading, groups)
        )
    samples = [one.estimate.data for one in fitted]
    try:
        test = weibull_likelihood_ratio(*[data for data in samples if data])
    except LifeError as error:
        return LifeComparison(reading, split, tuple(groups), others, refusal=str(error))
    ratios, no_ratio = _ratios(fitted, reading.question.confidence)
    return LifeComparison(reading, split, tuple(groups), others, test, ratios, no_ratio)


def _ratios(
    groups: Sequence[LifeGroup], confidence: float
) -> tuple[LifeDrivers | None, str]:
    """Life of each group over that of the largest, at a common shape."""
    parts = [_rows_of(group) for group in groups]
    table = pd.concat(parts, ignore_index=True)
    unit = groups[0].sample.unit
    try:
        return life_drivers(table, unit=unit, confidence=confidence), ""
    except LifeError as error:
        return None, str(error)


def _rows_of(group: LifeGroup) -> pd.DataFrame:
    used = group.sample.used
    return pd.DataFrame(
        {
            "age": used["age"].to_numpy(float),
            "failed": (used["status"] == Status.FAILED).to_numpy(),
            "entry_age": used["entry_age"].to_numpy(float),
            "position": used["position_id"].fillna(-used["pump_id"]).astype(int),
            "population": group.name,
        }
    )


def _too_few(reading: LifeReading, groups: Sequence[LifeGroup]) -> str:
    if not groups:
        return nothing_to_fit(reading.sample)
    if len(groups) < 2:
        return (
            "This choice holds one such group only, so there is nothing to compare. "
            "Widen the choice, or compare by something else."
        )
    return (
        "Fewer than two of these groups carry a fit of their own, so nothing can be "
        "set side by side. A group needs 3 failures of more than one age."
    )


def overlaps(groups: Sequence[LifeGroup]) -> bool:
    """Whether some position gave lives more than once."""
    data: list[LifeData] = [g.estimate.data for g in groups if g.estimate.data]
    return any(one.clusters < one.n for one in data)
