"""What may drive the life of seals and bearings: the covariates, each as a column."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd

from analytics.peers import liquid_class
from plant.choices import Arrangement, Component, ConditionFitted, SealKind, Sparing
from plant.ratings import off_best_efficiency, shaft_stiffness_ratio

SEALS, BEARINGS = "seals", "bearings"
# Levels beyond these, the rarest, are pooled into one.
MOST_LEVELS = 6
REST = "any other"


@dataclass(frozen=True, slots=True)
class Covariate:
    """One thing that may matter.

    `column` makes its values from the facts of the lives: words, or numbers in
    `unit`; nothing where a value is not known. `phrase` compares two levels. `of`
    limits it to seals or bearings; `now` marks what is as recorded today and not as
    of the fitting; what is not `usual` enters only when it is asked for.
    """

    key: str
    label: str
    column: Callable[[pd.DataFrame], "pd.Series[Any]"]
    phrase: str = ""
    unit: str = ""
    of: str = ""
    now: bool = False
    usual: bool = True

    @property
    def is_number(self) -> bool:
        return bool(self.unit)

    def compared(self, level: str, against: str) -> str:
        """Two levels side by side: plan 21 instead of 11."""
        return self.phrase.format(level, against)

    def risen(self, step: str) -> str:
        """A number that is higher by a step."""
        return f"{self.in_sentence} higher by {step} {self.unit}"

    @property
    def in_sentence(self) -> str:
        """Its name in the middle of a sentence."""
        return f"{self.label[0].lower()}{self.label[1:]}"


def words_of(field: str) -> Callable[[pd.DataFrame], "pd.Series[Any]"]:
    """The words as recorded; a blank is not known."""

    def column(facts: pd.DataFrame) -> "pd.Series[Any]":
        values = facts[field].astype(object)
        return values.where(values.notna() & (values != ""), None)

    return column


def labels_of(
    field: str, labels: Sequence[tuple[Any, Any]]
) -> Callable[[pd.DataFrame], "pd.Series[Any]"]:
    """The words of a vocabulary for the codes recorded."""
    names: Mapping[Any, str] = {code: str(label).lower() for code, label in labels}

    def column(facts: pd.DataFrame) -> "pd.Series[Any]":
        return facts[field].map(names).astype(object)

    return column


def _number(field: str, factor: float = 1.0) -> Callable[..., "pd.Series[Any]"]:
    def column(facts: pd.DataFrame) -> "pd.Series[Any]":
        return facts[field].astype(float) * factor

    return column


def _liquid_class(facts: pd.DataFrame) -> "pd.Series[Any]":
    hazards = facts["hazards"]
    return hazards.map(liquid_class, na_action="ignore").astype(object)


def _temperature(facts: pd.DataFrame) -> "pd.Series[Any]":
    copied = facts["temperature_c"].astype(float)
    return copied.fillna(facts["temperature_of_position"].astype(float))


def _stiffness(facts: pd.DataFrame) -> "pd.Series[Any]":
    overhang = facts["shaft_overhang_mm"].astype(float)
    shaft = facts["shaft_diameter_mm"].astype(float)
    ratios = [
        shaft_stiffness_ratio(length, diameter)
        if length > 0 and diameter > 0
        else np.nan
        for length, diameter in zip(overhang, shaft, strict=True)
    ]
    return pd.Series(ratios, index=facts.index, dtype=float)


def _off_best_efficiency(facts: pd.DataFrame) -> "pd.Series[Any]":
    pairs = zip(
        facts["flow_m3_h"].astype(float),
        facts["bep_flow_m3_h"].astype(float),
        strict=True,
    )
    distances = [
        abs(off) * 100
        if flow == flow
        and best == best
        and (off := off_best_efficiency(flow, best)) is not None
        else np.nan
        for flow, best in pairs
    ]
    return pd.Series(distances, index=facts.index, dtype=float)


# In the order in which they are offered and taken, the likeliest causes first.
COVARIATES: tuple[Covariate, ...] = (
    Covariate(
        "plan",
        "Piping plan",
        words_of("piping_plan"),
        "plan {} instead of {}",
        of=SEALS,
    ),
    Covariate(
        "arrangement",
        "Seal arrangement",
        labels_of("arrangement", Arrangement.choices),
        "seal arrangement {} instead of {}",
        of=SEALS,
    ),
    Covariate(
        "kind",
        "Kind of seal",
        labels_of("kind", SealKind.choices),
        "{} seal instead of {}",
        of=SEALS,
    ),
    Covariate("faces", "Faces", words_of("faces"), "faces {} instead of {}", of=SEALS),
    Covariate(
        "secondary",
        "Secondary seal",
        words_of("secondary_seal"),
        "secondary seal {} instead of {}",
        of=SEALS,
    ),
    Covariate(
        "which",
        "Which bearing",
        labels_of("component", Component.choices),
        "{} instead of {}",
        of=BEARINGS,
    ),
    Covariate(
        "lubrication",
        "Lubrication",
        words_of("lubrication"),
        "lubrication {} instead of {}",
        of=BEARINGS,
    ),
    Covariate(
        "liquid", "Class of liquid", _liquid_class, "{} liquid instead of {}", now=True
    ),
    Covariate("temperature", "Temperature", _temperature, unit="°C"),
    Covariate(
        "off_best",
        "Distance from best-efficiency flow",
        _off_best_efficiency,
        unit="% of it",
        now=True,
    ),
    Covariate("share", "Running share", _number("running_share", 100.0), unit="%"),
    Covariate("speed", "Speed", _number("speed_rpm"), unit="r/min", now=True),
    Covariate(
        "stiffness",
        "Shaft stiffness ratio L³/D⁴",
        _stiffness,
        unit="per mm",
        now=True,
    ),
    Covariate(
        "sparing",
        "Spare pump",
        labels_of("sparing", Sparing.choices),
        "spare pump: {} instead of {}",
        now=True,
        usual=False,
    ),
    Covariate("part", "Part", words_of("part"), "part {} instead of {}", usual=False),
    Covariate(
        "area", "Area", words_of("area"), "area {} instead of {}", now=True, usual=False
    ),
    Covariate(
        "condition",
        "Condition when fitted",
        labels_of("condition_fitted", ConditionFitted.choices),
        "fitted {} instead of {}",
        usual=False,
    ),
)
BY_KEY = {covariate.key: covariate for covariate in COVARIATES}
BY_LABEL = {covariate.label: covariate for covariate in COVARIATES}


def offered(component: str) -> list[Covariate]:
    """Those that a component can have."""
    kind = SEALS if component == "seal" else BEARINGS
    return [covariate for covariate in COVARIATES if covariate.of in ("", kind)]


def common_levels(values: "pd.Series[Any]") -> tuple["pd.Series[Any]", int]:
    """Pool the rarest of many levels into one; also how many were pooled."""
    counts = values.value_counts()
    if len(counts) <= MOST_LEVELS + 1:
        return values, 0
    kept = set(counts.index[:MOST_LEVELS])
    rare = values.notna() & ~values.isin(kept)
    return values.mask(rare, REST), len(counts) - MOST_LEVELS
