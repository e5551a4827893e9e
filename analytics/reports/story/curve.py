"""Repairs so far beside the mean of the peers, in days on record."""

from dataclasses import dataclass
from datetime import date, datetime

import numpy as np
from django.utils import timezone

from analytics.exposure import Floats, Window
from analytics.life.recurrence import MeanCumulativeFunction
from analytics.reports.story.neighbours import NeighbourQuestion
from analytics.reports.story.repairs import RepairRow
from analytics.reports.story.subject import Subject
from analytics.reports.trend.question import TrendScope
from analytics.reports.trend.report import TrendReport, level_at, trend_report
from plant.days import FIRST_DAY

# Fewer events and a smaller ratio are within what like pumps do by themselves.
LEAST_EVENTS = 3
LEAST_RATIO = 2.0
DAY_SECONDS = 86_400.0


@dataclass(frozen=True, slots=True, eq=False)
class PeerCurve:
    """Own repairs by days on record, and the mean of the peers at its end.

    `expected` and its limits are none where no peer had a repair by then.
    """

    ages: Floats
    end: float
    peers_name: str
    peers: MeanCumulativeFunction | None
    peers_end: float
    peer_positions: int
    expected: float | None
    low: float | None
    high: float | None

    @property
    def events(self) -> int:
        return int(self.ages.size)

    @property
    def is_worse(self) -> bool:
        """At least twice the peers' mean in the same time, and not by one repair."""
        if self.expected is None:
            return False
        return (
            self.events >= LEAST_EVENTS and self.events >= LEAST_RATIO * self.expected
        )


def peer_curve(
    subject: Subject, repairs: tuple[RepairRow, ...], neighbours: tuple[int, ...]
) -> PeerCurve | None:
    """None for a machine that never stood at a position."""
    if subject.place is None:
        return None
    today = timezone.localdate(subject.as_of)
    scope = TrendScope(subject.user, Window(FIRST_DAY, today), position=subject.place)
    report = trend_report(NeighbourQuestion(scope, neighbours=neighbours))
    if subject.is_machine:
        return _against(report, *_time_of_machine(subject, repairs))
    own = report.group.histories.ages()
    return _against(report, own[0] if own else np.array([]), report.group.longest)


def _against(report: TrendReport, ages: Floats, end: float) -> PeerCurve:
    peers = report.peers
    mean = peers.curve if peers is not None else None
    level = level_at(mean, end) if mean is not None else None
    expected, low, high = level or (None, None, None)
    return PeerCurve(
        ages=ages,
        end=end,
        peers_name=peers.name if peers is not None else "Peers",
        peers=mean,
        peers_end=peers.longest if peers is not None else 0.0,
        peer_positions=peers.positions if peers is not None else 0,
        expected=expected,
        low=low,
        high=high,
    )


def _time_of_machine(
    subject: Subject, repairs: tuple[RepairRow, ...]
) -> tuple[Floats, float]:
    """Days at its positions, one stay after the other, since the records began."""
    assert subject.place is not None
    begins = subject.place.records_from or subject.place.site.records_from
    ages, before = [], 0.0
    for stay in subject.stays:
        start = max(stay.placed_at, _morning(begins)) if begins else stay.placed_at
        end = max(start, stay.removed_at or subject.as_of)
        ages += [
            before + (row.reported_at - start).total_seconds() / DAY_SECONDS
            for row in repairs
            if row.is_counted and start < row.reported_at <= end
        ]
        before += (end - start).total_seconds() / DAY_SECONDS
    return np.array(sorted(ages)), before


def _morning(day: date) -> datetime:
    return timezone.make_aware(datetime.combine(day, datetime.min.time()))
