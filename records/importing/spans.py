"""The rule of time spans for many rows at once: what stands in one place never meets.

The same rule as plant.services.spans, which asks the database for one row.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any


@dataclass(slots=True)
class Span:
    """A half-open span; row 0 when it is stored already."""

    begin: datetime
    end: datetime | None
    row: int
    of: Any = None


def overlaps(spans: Iterable[Span]) -> Iterator[tuple[Span, Span]]:
    """Pairs that meet, the later first; pairs of two stored spans are passed over."""
    in_order = sorted(
        (span for span in spans if span.end is None or span.end > span.begin),
        key=lambda span: (span.begin, span.row),
    )
    reaching: Span | None = None
    for span in in_order:
        if (
            reaching is not None
            and (reaching.end is None or reaching.end > span.begin)
            and (span.row or reaching.row)
        ):
            yield span, reaching
        if (
            reaching is None
            or span.end is None
            or (reaching.end is not None and span.end > reaching.end)
        ):
            reaching = span
