"""Words of an import, read in any case, as code or in words."""

import re
from difflib import get_close_matches
from typing import Any

from django.db import models
from django.db.models import Choices

from plant import choices as plant
from records import choices as records

NOT_WORD = re.compile(r"[^\w.]+|_")
CODE_WITH_COMMA = re.compile(r"\d,\d")
LISTED_IN_FULL = 12


def plain(word: str) -> str:
    """A word without case, hyphens and doubled spaces."""
    return " ".join(NOT_WORD.sub(" ", word.lower()).split())


class Vocabulary:
    """Allowed words of one column, and the stored value of each."""

    def __init__(self, choices: type[Choices], also: dict[str, Any] | None = None):
        self.choices = choices
        self.also = also or {}
        self.lookup: dict[str, Any] = {}
        for value, label in choices.choices:
            for word in (str(value), str(label), f"{value} {label}"):
                self.lookup[plain(word)] = value
            if str(value).endswith(".0"):
                # A spreadsheet shows the code 2.0 as 2.
                self.lookup[str(value).removesuffix(".0")] = value
        self.lookup.update({plain(word): value for word, value in self.also.items()})

    def find(self, word: str) -> Any:
        """The stored value; None when the word is not one of these."""
        found = self.lookup.get(plain(word))
        if found is None and CODE_WITH_COMMA.fullmatch(word):
            # A spreadsheet with decimal commas writes the code 2.4 as 2,4.
            found = self.lookup.get(word.replace(",", "."))
        return found

    @property
    def allowed(self) -> list[str]:
        """Each allowed entry for a reader: the word, or code and word."""
        return [
            _entry(str(value), str(label)) for value, label in self.choices.choices
        ] + list(self.also)

    def right(self, word: str) -> str:
        """The sentence for a word that is not allowed."""
        if len(self.allowed) <= LISTED_IN_FULL:
            return f"Allowed are: {'; '.join(self.allowed)}."
        close = get_close_matches(plain(word), self.lookup, n=1, cutoff=0.7)
        if close:
            value = self.lookup[close[0]]
            label = dict(self.choices.choices)[value]
            return f"Not a known code or word. Nearest: {_entry(value, str(label))}."
        return "Not a known code or word: the template's notes list them all."


def _entry(value: str, label: str) -> str:
    if plain(label) == plain(value):
        return value
    return label if label.startswith(value) else f"{value} ({label})"


class ReasonOut(models.TextChoices):
    """One word in a file for why a component left; facts are derived from it."""

    FAILED = "failed", "failed"
    SOUND = "sound", "sound"
    PLANNED = "planned replacement", "planned replacement"
    UPGRADED = "upgraded", "upgraded"
    RETIRED = "pump retired", "pump retired"
    DAMAGED = "damaged", "damaged by another item or unit"
    UNKNOWN = "unknown", "unknown"


CRITICALITY = Vocabulary(plant.Criticality)
SPARING = Vocabulary(plant.Sparing)
HAZARD = Vocabulary(plant.Hazard)
ASSEMBLY = Vocabulary(plant.Assembly)
MOUNTING = Vocabulary(plant.Mounting)
IMPELLER_KIND = Vocabulary(plant.ImpellerKind)
COUPLING = Vocabulary(plant.Coupling)
VIBRATION_CATEGORY = Vocabulary(plant.VibrationCategory)
COMPONENT = Vocabulary(plant.Component, {"mechanical seal": plant.Component.SEAL})
BEGINNING = Vocabulary(plant.Beginning)
CONDITION_FITTED = Vocabulary(plant.ConditionFitted)
CONDITION_FOUND = Vocabulary(plant.ConditionFound)
ARRANGEMENT = Vocabulary(plant.Arrangement)
SEAL_KIND = Vocabulary(plant.SealKind)
FLEXIBLE_ELEMENT = Vocabulary(plant.FlexibleElement)
REASON_OUT = Vocabulary(
    ReasonOut, {"sound, taken out with other work": ReasonOut.SOUND}
)
CATEGORY = Vocabulary(
    records.Category,
    {
        "predictive found": records.Category.CONDITION,
        "found by monitoring": records.Category.CONDITION,
    },
)
ACTIVITY = Vocabulary(records.Activity)
OPERATING_STATE = Vocabulary(records.OperatingState)
RELEASE = Vocabulary(records.Release)
FAILURE_MODE = Vocabulary(records.FailureMode)
IMPACT = Vocabulary(records.Impact)
DETECTION = Vocabulary(records.Detection)
ITEM = Vocabulary(records.Item, {"seal": records.Item.SEAL})
MECHANISM = Vocabulary(records.Mechanism)
CAUSE = Vocabulary(records.Cause)
COST_STATUS = Vocabulary(records.CostStatus)
