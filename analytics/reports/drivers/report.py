"""What drives life: from the sample of lives to the ratios of life, or a refusal."""

from dataclasses import dataclass, replace
from typing import Any

import pandas as pd

from analytics.life.drivers import LifeDrivers, life_drivers
from analytics.life.errors import LifeError
from analytics.reports.drivers.covariates import (
    BY_KEY,
    COVARIATES,
    MOST_LEVELS,
    Covariate,
    common_levels,
    offered,
)
from analytics.reports.life.question import CONDITIONS
from analytics.samples import Sample, SampleRule, Status, sample_build
from plant.display import number
from plant.models import User
from records.selectors.covariates import life_facts
from records.selectors.lives import LifeFilter, life_tables

# The regression takes a while for each column; the page must not hang.
MOST_LIVES = 20_000
MOST_COLUMNS = 20
# What is taken without being asked for: known for most lives, a column for every
# ten failures, and not so many that a reader loses the thread.
USUAL_COVERAGE = 0.9
FAILURES_PER_COLUMN = 10
MOST_USUAL_COLUMNS = 8
LEAST_LIVES = 3


@dataclass(frozen=True, slots=True)
class DriversQuestion:
    """Which lives, and which covariates; none named means those that are usual."""

    component: str
    choice: LifeFilter
    rule: SampleRule
    covariates: tuple[str, ...] = ()
    confidence: float = 0.90


@dataclass(frozen=True, slots=True, eq=False)
class DriversReport:
    """The sample, what was asked of it, and the answer or why there is none."""

    question: DriversQuestion
    sample: Sample
    taken: tuple[Covariate, ...]
    result: LifeDrivers | None
    refusal: str
    refused: dict[str, str]
    unknown: dict[str, int]
    pooled: dict[str, int]


def drivers_report(*, user: User, question: DriversQuestion) -> DriversReport:
    """Answer a question; the number of queries does not depend on the records."""
    rule = question.rule
    if "condition" in question.covariates:
        # To compare conditions, all of them have to be in the sample.
        rule = replace(rule, conditions=CONDITIONS["all"])
    tables = life_tables(user=user, choice=question.choice, as_of=rule.as_of)
    sample = sample_build(tables, rule)
    facts = life_facts(user=user, tables=tables, rows=sample.used)
    suited = {covariate.key for covariate in offered(question.component)}
    refused = {
        BY_KEY[key].label: f"belongs to {BY_KEY[key].of} only."
        for key in question.covariates
        if key not in suited
    }
    table = _lives(facts, sample)
    taken = tuple(
        BY_KEY[key] for key in question.covariates if key in suited
    ) or usual_covariates(facts, table, question.component)
    columns = {covariate.label: covariate.column(facts) for covariate in taken}
    pooled = _pool_rare_levels(columns)
    report = DriversReport(
        question=question,
        sample=sample,
        taken=taken,
        result=None,
        refusal="",
        refused=refused,
        unknown={name: int(values.isna().sum()) for name, values in columns.items()},
        pooled=pooled,
    )
    return _answered(report, table.assign(**columns))


def _answered(report: DriversReport, table: pd.DataFrame) -> DriversReport:
    """Fit, or say why not."""
    width = sum(_width(table[covariate.label]) for covariate in report.taken)
    refusal = _refusal(report, len(table), width)
    if refusal:
        return replace(report, refusal=refusal)
    unit, confidence = report.sample.unit, report.question.confidence
    try:
        result = life_drivers(table, unit=unit, confidence=confidence)
    except LifeError as error:
        return replace(report, refusal=str(error))
    return replace(report, result=result, refused=report.refused | result.refused)


def _refusal(report: DriversReport, lives: int, width: int) -> str:
    if not lives:
        return "No life of this choice can take part in a fit."
    if not report.taken:
        return "No covariate is known for most of these lives and differs between them."
    if lives > MOST_LIVES:
        return (
            f"{number(lives)} lives are more than this page can compare at once "
            f"({number(MOST_LIVES)})."
        )
    if width > MOST_COLUMNS:
        return (
            f"These covariates have {width} levels and steps to compare; more than "
            f"{MOST_COLUMNS} cannot be told apart."
        )
    return ""


def _lives(facts: pd.DataFrame, sample: Sample) -> pd.DataFrame:
    """The columns of the regression that are no covariates."""
    return pd.DataFrame(
        {
            "age": facts["age"].astype(float),
            "failed": (facts["status"] == Status.FAILED).to_numpy(bool),
            "entry_age": facts["entry_age"].astype(float),
            "position": facts["position_id"].fillna(-facts["pump_id"]).astype(int),
        },
        index=facts.index,
    )


def _pool_rare_levels(columns: dict[str, "pd.Series[Any]"]) -> dict[str, int]:
    """Pool rare levels of words in place; say of which covariate how many."""
    pooled = {}
    for name, values in columns.items():
        if values.dtype == object:
            columns[name], rare = common_levels(values)
            if rare:
                pooled[name] = rare
    return pooled


def _width(values: "pd.Series[Any]") -> int:
    """Columns that a covariate takes in the regression."""
    if values.dtype != object:
        return 1
    return max(0, min(values.nunique(), MOST_LEVELS + 1) - 1)


def usual_covariates(
    facts: pd.DataFrame, table: pd.DataFrame, component: str
) -> tuple[Covariate, ...]:
    """Covariates known for most lives, as many as the failures can carry."""
    failed = table["failed"]
    room = min(MOST_USUAL_COLUMNS, int(failed.sum()) // FAILURES_PER_COLUMN)
    taken: dict[Covariate, pd.Series[Any]] = {}
    suited = offered(component)
    for covariate in (c for c in COVARIATES if c in suited and c.usual):
        values, _rare = common_levels(covariate.column(facts))
        width = _width(values)
        told = any(_is_told_by(values, other) for other in taken.values())
        if _is_usable(values, failed) and not told and width <= room:
            taken[covariate] = values
            room -= width
    return tuple(taken)


def _is_usable(values: "pd.Series[Any]", failed: "pd.Series[bool]") -> bool:
    if not len(values) or values.notna().mean() < USUAL_COVERAGE:
        return False
    if values.dtype != object:
        return bool(values.nunique() > 1)
    lives = values.value_counts()
    failures = failed.groupby(values).sum()
    return len(lives) > 1 and bool((lives >= LEAST_LIVES).all() & (failures > 0).all())


def _is_told_by(values: "pd.Series[Any]", other: "pd.Series[Any]") -> bool:
    """Whether each level of the other goes with one level of these, so it adds none."""
    pairs = pd.DataFrame({"one": values, "other": other}).dropna().drop_duplicates()
    return len(pairs) == pairs["other"].nunique()
