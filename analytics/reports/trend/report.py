"""The Trend page's answer: mean curve, peers beside one position, and the verdict."""

from dataclasses import dataclass

import numpy as np
import pandas as pd

from analytics.exposure import Floats
from analytics.life.errors import LifeError
from analytics.life.recurrence import (
    MeanCumulativeFunction,
    PowerLawFit,
    TrendTest,
    laplace_test,
    mean_cumulative_function,
    military_handbook_test,
    power_law_fit,
)
from analytics.peers import duty, liquid_classes, peer_groups
from analytics.reports.trend.histories import Histories, histories_load, position_row
from analytics.reports.trend.positions import PositionTrend, position_trends
from analytics.reports.trend.question import TrendQuestion
from records.selectors.histories import running_shares

# Below this chance of the data the power law is not believed.
DOES_NOT_FIT = 0.10
NOT_WATCHED = "No position of this choice was watched."


@dataclass(frozen=True, slots=True)
class Verdict:
    """Both trend tests and the power law, or why there are none.

    A trend is told when both tests see it at the level, and the same way.
    """

    level: float
    laplace: TrendTest | None = None
    handbook: TrendTest | None = None
    power_law: PowerLawFit | None = None
    refusal: str = ""
    power_law_refusal: str = ""

    @property
    def seeing(self) -> tuple[TrendTest, ...]:
        """The tests that see a trend."""
        tests = (self.laplace, self.handbook)
        return tuple(t for t in tests if t is not None and t.p_value < self.level)

    @property
    def direction(self) -> str:
        """Worsening, improving, or nothing where no trend can be told."""
        directions = {test.direction for test in self.seeing}
        both_agree = len(self.seeing) == 2 and len(directions) == 1
        return directions.pop() if both_agree else ""

    @property
    def fits(self) -> bool:
        """Whether the power law can stand for the events."""
        fit = self.power_law
        return fit is not None and fit.fit_p_value >= DOES_NOT_FIT


@dataclass(frozen=True, slots=True, eq=False)
class Group:
    """Positions, their mean curve, and why there is none."""

    name: str
    histories: Histories
    curve: MeanCumulativeFunction | None
    refusal: str = ""

    @property
    def events(self) -> int:
        return len(self.histories.events)

    @property
    def positions(self) -> int:
        return len(self.histories.units)

    @property
    def longest(self) -> float:
        """The longest time that any of them was watched."""
        return float(self.histories.units["length"].max()) if self.positions else 0.0


@dataclass(frozen=True, slots=True, eq=False)
class TrendReport:
    """What was asked, the positions asked for, and the peers of a single one.

    `positions` are all that were tested one by one, those of a single one's site
    among them: who looks at many meets a trend by chance.
    """

    question: TrendQuestion
    group: Group
    verdict: Verdict
    positions: tuple[PositionTrend, ...]
    peers: Group | None = None
    notes: tuple[str, ...] = ()

    @property
    def own_trend(self) -> PositionTrend | None:
        """The single position among all those tested."""
        subject = self.question.subject
        if subject is None:
            return None
        return next((r for r in self.positions if r.position == subject.pk), None)


def trend_report(question: TrendQuestion) -> TrendReport:
    """Answer a question; the number of queries does not depend on the records."""
    found = histories_load(question)
    confidence, subject = question.scope.confidence, question.subject
    tested = position_trends(found)
    if subject is None:
        group = _group("Positions chosen", found, confidence)
        verdict = trend_verdict(found, confidence)
        return TrendReport(question, group, verdict, tested, notes=found.notes)
    row = position_row(found, subject.pk)
    own = found.chosen(np.arange(len(found.units)) == row)
    return TrendReport(
        question,
        _group(subject.tag, own, confidence),
        trend_verdict(own, confidence),
        tested,
        _peers(found, row, question) if row >= 0 else None,
        found.notes,
    )


def trend_verdict(histories: Histories, confidence: float) -> Verdict:
    """Test for a trend and fit the power law, all positions taken as alike."""
    level = 1 - confidence
    ages, ends = histories.ages(), histories.units["length"].to_numpy(float)
    if not ends.size:
        return Verdict(level, refusal=NOT_WATCHED)
    try:
        laplace = laplace_test(ages, ends)
        handbook = military_handbook_test(ages, ends)
    except LifeError as error:
        return Verdict(level, refusal=str(error))
    try:
        fit = power_law_fit(ages, ends, confidence=confidence)
    except LifeError as error:
        return Verdict(level, laplace, handbook, power_law_refusal=str(error))
    return Verdict(level, laplace, handbook, fit)


def _group(name: str, histories: Histories, confidence: float) -> Group:
    if not len(histories.units):
        return Group(name, histories, None, NOT_WATCHED)
    try:
        curve = mean_cumulative_function(histories.histories(), confidence)
    except LifeError as error:
        return Group(name, histories, None, str(error))
    return Group(name, histories, curve)


def _peers(found: Histories, row: int, question: TrendQuestion) -> Group | None:
    """The peers of one position by the rule of all pages, without itself."""
    shares = running_shares(question.loaded.positions(), question.scope.window.end)
    units = found.units
    kinds = pd.DataFrame(
        {
            "site_name": units["site_name"],
            "liquid_class": liquid_classes(units["hazards"]),
            "duty": [duty(shares.get(pk, 1.0)) for pk in units["position"]],
        }
    )
    for group in peer_groups(kinds):
        if group.answers[row]:
            members = group.members.copy()
            members[row] = False
            if not members.any():
                return None
            name = f"Peers: {group.name}"
            return _group(name, found.chosen(members), question.scope.confidence)
    return None


def level_at(
    curve: MeanCumulativeFunction, age: float
) -> tuple[float, float, float] | None:
    """Mean and limits of a curve at a time; nothing before its first event."""
    place = int(np.searchsorted(curve.time, age, side="right")) - 1
    if place < 0:
        return None
    arrays: tuple[Floats, ...] = (curve.mean, curve.lower, curve.upper)
    mean, lower, upper = (float(values[place]) for values in arrays)
    return mean, lower, upper
