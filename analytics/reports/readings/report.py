"""Which readings of a position are drawn, and against which limits."""

from collections import Counter
from dataclasses import dataclass

from analytics.charts.reading_trend import ReadingSeries
from plant.models import Position
from records.models import Reading
from records.reading_choices import Point, Quantity, RunningState
from records.selectors.readings import (
    Level,
    level_of,
    levels_preset,
    limits_of,
    readings_standing,
)

# More points than a screen has columns only slow the drawing; the file holds all.
MOST_POINTS = 2_000


@dataclass(frozen=True, slots=True)
class ReadingReport:
    """One quantity at one position, running only."""

    position: Position
    quantity: Quantity | None
    counts: dict[Quantity, int]
    rows: list[Reading]
    series: list[ReadingSeries]
    rules: list[tuple[str, float]]
    level: Level | None
    is_cut: bool


def reading_report(position: Position, wanted: str = "") -> ReadingReport:
    """Readings of the wanted quantity, else of the one read most often."""
    standing = readings_standing([position]).filter(running_state=RunningState.RUNNING)
    tally = Counter(standing.values_list("quantity", flat=True))
    counts = {q: tally[q] for q in Quantity if tally[q]}
    quantity = _chosen(wanted, counts)
    if quantity is None:
        return ReadingReport(position, None, counts, [], [], [], None, False)
    newest = standing.filter(quantity=quantity).order_by("-read_at", "-pk")
    rows = list(newest[:MOST_POINTS])[::-1]
    level = level_of(position, quantity, levels_preset([position.pk]))
    return ReadingReport(
        position=position,
        quantity=quantity,
        counts=counts,
        rows=rows,
        series=_series(rows),
        rules=_rules(position, quantity, level),
        level=level,
        is_cut=counts[quantity] > MOST_POINTS,
    )


def _chosen(wanted: str, counts: dict[Quantity, int]) -> Quantity | None:
    if wanted in counts:
        return Quantity(wanted)
    return max(counts, key=lambda q: counts[q], default=None)


def _series(rows: list[Reading]) -> list[ReadingSeries]:
    by_point: dict[str, list[Reading]] = {}
    for row in rows:
        by_point.setdefault(row.point, []).append(row)
    return [
        ReadingSeries(
            name=str(Point(point).label),
            times=[row.read_at for row in by_point[point]],
            values=[row.value for row in by_point[point]],
        )
        for point in Point
        if point in by_point
    ]


def _rules(
    position: Position, quantity: Quantity, level: Level | None
) -> list[tuple[str, float]]:
    rules = []
    if quantity == Quantity.VIBRATION:
        limits = limits_of(position)
        rules = [
            ("zone A/B", limits.a_b_mm_s),
            ("zone B/C", limits.b_c_mm_s),
            ("zone C/D", limits.c_d_mm_s),
        ]
    if level is not None:
        ends = [("warns above", level.warn_above), ("warns below", level.warn_below)]
        rules += [(name, value) for name, value in ends if value is not None]
    return rules
