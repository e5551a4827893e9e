"""The catalogue of teardown patterns; codes are stored, so they never change."""

from records.patterns.bearings import BEARINGS
from records.patterns.other_parts import OTHER_PARTS
from records.patterns.pattern import Pattern
from records.patterns.seals import SEALS

__all__ = ["PATTERNS", "PATTERN_BY_CODE", "Pattern", "patterns_of"]

PATTERNS: tuple[Pattern, ...] = (*SEALS, *BEARINGS, *OTHER_PARTS)
PATTERN_BY_CODE: dict[str, Pattern] = {pattern.code: pattern for pattern in PATTERNS}


def patterns_of(item: str) -> tuple[Pattern, ...]:
    """The patterns that the item can show; all of them while it is not known."""
    fitting = tuple(pattern for pattern in PATTERNS if item in pattern.items)
    return fitting or PATTERNS
