"""One pattern of the catalogue: a look, and what it usually points to."""

from dataclasses import dataclass

from records.choices import Cause, Item, Mechanism

SEAL_NOTES = "trade notes on failed mechanical seals"
ISO_15243 = "ISO 15243, rolling bearings, damage and failures"
PRACTICE = "common practice"


@dataclass(frozen=True, slots=True)
class Pattern:
    """A pattern seen at teardown.

    Mechanisms and causes are suggestions for a person to confirm; the codes are
    our mapping onto ISO 14224, not part of the source.
    """

    code: str
    items: tuple[Item, ...]
    title: str
    description: str
    mechanisms: tuple[Mechanism, ...]
    causes: tuple[Cause, ...]
    source: str
