"""Readings of a story: what lay beyond zone or level, and how vibration goes."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np
from scipy import stats

from analytics.reports.story.subject import Subject
from plant.ratings import VibrationZone
from records.models import Reading
from records.reading_choices import UNIT_OF_QUANTITY, Point, Quantity, RunningState
from records.selectors.readings import judged, levels_preset

YEAR = timedelta(days=365)
LEAST_READINGS = 6
MEDIAN_OF = 3
BAD_ZONES = (VibrationZone.C, VibrationZone.D)


@dataclass(frozen=True, slots=True)
class Beyond:
    """The worst reading of one quantity on one day, beyond its zone or level."""

    at: datetime
    words: str


@dataclass(frozen=True, slots=True)
class Rise:
    """How the vibration of one point went over the last year.

    `before` and `now` are medians of its first and last three readings, mm/s;
    `p_value` is that of Kendall's rank correlation with time, rising only.
    """

    point: str
    readings: int
    points: int
    before: float
    now: float
    p_value: float


@dataclass(frozen=True, slots=True)
class ReadingStory:
    """`flow` is the median of last year's flow readings, none without any."""

    beyond: tuple[Beyond, ...]
    rises: tuple[Rise, ...]
    flow: float | None


def reading_story(subject: Subject) -> ReadingStory:
    """All its readings that were not struck; two queries."""
    if subject.place is None:
        return ReadingStory((), (), None)
    rows = list(
        Reading.objects.filter(
            subject.of_readings(),
            struck_reason="",
            running_state=RunningState.RUNNING,
            read_at__lte=subject.as_of,
        ).order_by("read_at", "pk")
    )
    last_year = [row for row in rows if row.read_at > subject.as_of - YEAR]
    flows = [row.value for row in last_year if row.quantity == Quantity.FLOW]
    return ReadingStory(
        beyond=_beyond(rows, subject),
        rises=_rises(last_year),
        flow=float(np.median(flows)) if flows else None,
    )


def _beyond(rows: list[Reading], subject: Subject) -> tuple[Beyond, ...]:
    place = subject.place
    assert place is not None
    levels = levels_preset([place.pk])
    worst: dict[tuple[object, str], tuple[float, Beyond]] = {}
    for row in rows:
        found = judged(row, place, levels)
        if not (found.zone in BAD_ZONES or found.is_beyond):
            continue
        why = f"zone {found.zone}" if found.zone in BAD_ZONES else "beyond its level"
        name = Quantity(row.quantity).label
        unit = UNIT_OF_QUANTITY[row.quantity]
        words = f"{name} {row.value:.3g} {unit}, {Point(row.point).label}: {why}"
        key = row.read_at.date(), row.quantity
        if key not in worst or row.value > worst[key][0]:
            worst[key] = row.value, Beyond(row.read_at, words)
    return tuple(event for _value, event in worst.values())


def _rises(rows: list[Reading]) -> tuple[Rise, ...]:
    """Every point with enough readings to tell."""
    by_point: dict[str, list[Reading]] = defaultdict(list)
    for row in rows:
        if row.quantity == Quantity.VIBRATION:
            by_point[row.point].append(row)
    series = {p: own for p, own in by_point.items() if len(own) >= LEAST_READINGS}
    found = []
    for point, own in series.items():
        values = np.array([row.value for row in own])
        moments = np.array([row.read_at.timestamp() for row in own])
        test = stats.kendalltau(moments, values, alternative="greater")
        found.append(
            Rise(
                point=str(Point(point).label),
                readings=len(own),
                points=len(series),
                before=float(np.median(values[:MEDIAN_OF])),
                now=float(np.median(values[-MEDIAN_OF:])),
                p_value=1.0 if np.isnan(test.pvalue) else float(test.pvalue),
            )
        )
    return tuple(found)
