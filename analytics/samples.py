"""From recorded lives to a sample: failed, suspended or left out, and at what age.

The only module that decides these. Every life of the population gets exactly one
status, so the counts always add up to the number of lives.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time
from enum import StrEnum
from functools import cached_property

import numpy as np
import pandas as pd
from django.utils import timezone
from numpy.typing import NDArray

from analytics.ages import UNITS, Clock, LifeAges, life_ages
from analytics.life.data import LifeData
from plant.choices import Beginning, ConditionFitted, Ending
from plant.endings import ending_of
from records.selectors.lives import LifeTables

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
ENDING_FACTS = [
    "closed",
    "no_time",
    "defect_detected",
    "condition_found",
    "why_removed",
]


class Status(StrEnum):
    FAILED = "failed"
    SUSPENDED = "suspended"
    LEFT_OUT = "left out"


class LeftOut(StrEnum):
    """Why a life cannot take part in a fit; the value is what a page prints."""

    BEGINNING_UNKNOWN = "Beginning not known"
    EARLIER_AGE_UNKNOWN = "Refitted, age it had then not recorded"
    ENDING_UNKNOWN = "Ending not known"
    DEAD_ON_FITTING = "Failed before it had run"
    BEFORE_RECORDS = "Ended before the records begin"
    CONTRADICTION = "Dates or ages contradict each other"
    NO_SERVICE = "No time in service"
    CLOCK_UNKNOWN = "Age on this clock not known"
    ESTIMATED = "Running hours only estimated"


class Rejects(StrEnum):
    """How a part rejected at inspection, with no defect seen before, counts."""

    SITE_RULE = "site"
    FAILURE = "failure"
    SUSPENSION = "suspension"


def end_of_day(day: date) -> datetime:
    """The last moment of a day: figures as of it stay the same all day long."""
    return timezone.make_aware(datetime.combine(day, time.max))


@dataclass(frozen=True, slots=True)
class SampleRule:
    """What the user chose about counting; the population is chosen elsewhere."""

    as_of: datetime
    clock: Clock = Clock.HOURS
    failure_endings: frozenset[str] = frozenset({Ending.FAILED})
    rejects: Rejects = Rejects.SITE_RULE
    measured_only: bool = False
    conditions: tuple[str, ...] = (ConditionFitted.NEW, ConditionFitted.REFITTED)


@dataclass(frozen=True, eq=False)
class Sample:
    """One row a life with ending, status, reason, age, entry age and marks.

    Ages are in `unit`. `kept_apart` counts lives of the same choice that were
    fitted in another condition and are not in `rows` at all.
    """

    rows: pd.DataFrame
    rule: SampleRule
    kept_apart: dict[str, int]

    @property
    def unit(self) -> str:
        return UNITS[self.rule.clock]

    @cached_property
    def used(self) -> pd.DataFrame:
        """The lives that take part in a fit."""
        return self.rows[self.rows["status"] != Status.LEFT_OUT]

    def count(self, status: Status) -> int:
        return int((self.rows["status"] == status).sum())

    def breakdown(self) -> list[tuple[Status, str, int]]:
        """Status, ending or reason, and number of lives; adds up to all of them."""
        counted: Counter[tuple[Status, str]] = Counter()
        kinds = self.rows.value_counts(["status", "reason", "ending"], sort=False)
        for status, reason, ending, lives in kinds.reset_index().to_numpy().tolist():
            words = str(reason or Ending(ending).label)
            counted[Status(status), words] += int(lives)
        order = list(Status)
        found = [(status, words, lives) for (status, words), lives in counted.items()]
        return sorted(found, key=lambda row: (order.index(row[0]), -row[2], row[1]))

    def narrowed(self, rows: pd.DataFrame) -> "Sample":
        """The same judgement on some of the lives."""
        return replace(self, rows=rows, kept_apart={})

    def life_data(self) -> LifeData:
        """The sample for the statistics; lives of one position are one group."""
        used = self.used
        position = used["position_id"].fillna(-used["pump_id"])
        return LifeData(
            ages=used["age"].to_numpy(float),
            failed=(used["status"] == Status.FAILED).to_numpy(),
            entry_ages=used["entry_age"].to_numpy(float),
            unit=self.unit,
            groups=position.astype(int).tolist(),
        )


def sample_build(tables: LifeTables, rule: SampleRule) -> Sample:
    """Judge every life of the chosen condition."""
    wanted = tables.lives["condition_fitted"].isin(rule.conditions)
    apart = tables.lives.loc[~wanted, "condition_fitted"].value_counts()
    lives = tables.lives[wanted].reset_index(drop=True)
    chosen = replace(tables, lives=lives)
    rows = lives.copy()
    rows["ended"] = lives["ended_at"].fillna(lives["removed_at"])
    rows["started"] = lives["started_at"].fillna(lives["fitted_at"])
    rows["closed"] = rows["ended"] <= pd.Timestamp(rule.as_of)
    rows["ending"] = _endings(rows)
    failed = _counts_as_failure(rows, rule)
    ages = life_ages(
        chosen,
        started=rows["started"],
        ended=rows["ended"].where(rows["closed"]),
        as_of=pd.Timestamp(rule.as_of),
        clock=rule.clock,
        measured_only=rule.measured_only,
    )
    rows["age"], rows["entry_age"] = ages.age, ages.entry
    rows["estimated"] = ages.estimated
    rows["reason"] = _left_out(rows, ages, failed, rule)
    rows["status"] = np.where(failed, Status.FAILED, Status.SUSPENDED)
    rows["status"] = rows["status"].mask(rows["reason"] != "", Status.LEFT_OUT)
    return Sample(rows, rule, {str(k): int(n) for k, n in apart.items()})


def _endings(rows: pd.DataFrame) -> Sequence[str]:
    """Ending of each life; each combination of facts is judged once."""
    facts = rows.assign(no_time=rows["ended"] <= rows["started"])
    kinds = facts.groupby(ENDING_FACTS, dropna=False, sort=False).ngroup()
    first = facts.assign(kind=kinds)[~kinds.duplicated()]
    endings = {
        life["kind"]: ending_of(
            removed_at=life["removed_at"] if life["closed"] else None,
            started_at=life["started"],
            ended_at=life["ended"] if life["closed"] else None,
            defect_detected=life["defect_detected"],
            condition_found=life["condition_found"],
            why_removed=life["why_removed"],
        )
        for life in first.to_dict("records")
    }
    return [endings[kind] for kind in kinds]


def _counts_as_failure(rows: pd.DataFrame, rule: SampleRule) -> Flags:
    failed = rows["ending"].isin(rule.failure_endings - {Ending.REJECTED})
    rejected = rows["ending"] == Ending.REJECTED
    if rule.rejects == Rejects.FAILURE:
        failed |= rejected
    elif rule.rejects == Rejects.SITE_RULE:
        failed |= rejected & rows["rejects_fail_at_site"].astype(bool)
    return failed.to_numpy(bool)


def _left_out(
    rows: pd.DataFrame, ages: LifeAges, failed: Flags, rule: SampleRule
) -> Sequence[str]:
    """Why each life takes no part, or nothing; the first reason that holds counts."""
    cut = rows["ended"].where(rows["closed"], pd.Timestamp(rule.as_of))
    refitted = rows["condition_fitted"] == ConditionFitted.REFITTED
    unknown_age = np.isnan(ages.age)
    reasons = [
        (rows["beginning"] == Beginning.UNKNOWN, LeftOut.BEGINNING_UNKNOWN),
        (rows["ending"] == Ending.UNKNOWN, LeftOut.ENDING_UNKNOWN),
        (rows["ending"] == Ending.DEAD_ON_FITTING, LeftOut.DEAD_ON_FITTING),
        (cut < rows["started"], LeftOut.CONTRADICTION),
        (ages.entry < 0, LeftOut.CONTRADICTION),
        (cut <= rows["records_from"], LeftOut.BEFORE_RECORDS),
        (unknown_age & refitted, LeftOut.EARLIER_AGE_UNKNOWN),
        (unknown_age, LeftOut.CLOCK_UNKNOWN),
        (ages.estimated & rule.measured_only, LeftOut.ESTIMATED),
        ((ages.age <= 0) & failed, LeftOut.DEAD_ON_FITTING),
        (ages.age <= ages.entry, LeftOut.NO_SERVICE),
    ]
    conditions = [np.asarray(holds, dtype=bool) for holds, _reason in reasons]
    names = [str(reason) for _holds, reason in reasons]
    return [str(reason) for reason in np.select(conditions, names, default="")]
