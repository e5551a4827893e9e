"""What its failures died of, and what was seen at teardown, counted."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from analytics.reports.story.repairs import RepairRow, Shares, failures_of


@dataclass(frozen=True, slots=True)
class MechanismCount:
    """Failures of one mechanism; `usual` is its share at the pumps compared."""

    mechanism: str
    times: int
    share: float
    usual: float
    last: datetime
    items: str


@dataclass(frozen=True, slots=True)
class PatternCount:
    pattern: str
    times: int
    last: datetime


@dataclass(frozen=True, slots=True)
class Findings:
    """`unknown` are failures whose mechanism is blank or says nothing."""

    failures: int
    unknown: int
    mechanisms: tuple[MechanismCount, ...]
    patterns: tuple[PatternCount, ...]


def findings_of(repairs: Sequence[RepairRow], shares: Shares) -> Findings:
    """The most frequent first."""
    failures = failures_of(repairs)
    known = [row for row in failures if row.mechanism_in_words]
    groups = Counter(row.mechanism for row in known)
    patterns = Counter(title for row in repairs for title in set(row.patterns))
    return Findings(
        failures=len(failures),
        unknown=len(failures) - len(known),
        mechanisms=tuple(
            _mechanism(code, times, known, shares)
            for code, times in groups.most_common()
        ),
        patterns=tuple(
            PatternCount(
                title,
                times,
                max(row.reported_at for row in repairs if title in row.patterns),
            )
            for title, times in patterns.most_common()
        ),
    )


def _mechanism(
    code: str, times: int, known: Sequence[RepairRow], shares: Shares
) -> MechanismCount:
    rows = [row for row in known if row.mechanism == code]
    items = Counter(row.item_in_words for row in rows)
    return MechanismCount(
        mechanism=rows[0].mechanism_in_words,
        times=times,
        share=times / len(known),
        usual=shares.of_mechanism(code),
        last=max(row.reported_at for row in rows),
        items=", ".join(f"{item} {number}" for item, number in items.most_common(3)),
    )
