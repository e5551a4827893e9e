"""Lives of the parts that an action is about, before it and after it."""

from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

import pandas as pd
from django.utils import timezone

from analytics.judging.lives import LEAST_FAILURES, LifeJudgement, judge_lives
from analytics.reports.actions.expectation import Frozen
from analytics.reports.actions.units import WHOLE_SITE
from analytics.reports.bad_actors.report import UnitKind
from analytics.samples import Sample, SampleRule, end_of_day, sample_build
from plant.choices import BEARINGS, Component
from records.action_choices import ChangeMade
from records.models import Action
from records.selectors.lives import LifeFilter, LifeTables, life_tables

SEALS = (Component.SEAL,)
PARTS_OF_CHANGE: dict[str, tuple[Component, ...]] = {
    ChangeMade.DUAL_SEAL: SEALS,
    ChangeMade.SEAL_TYPE: SEALS,
    ChangeMade.PIPING_PLAN: SEALS,
    ChangeMade.BEARINGS: BEARINGS,
    ChangeMade.LUBRICATION: BEARINGS,
}
LIFE_RULE = (
    "Lives before are those of the same part and piping plan at the units and their "
    "equals, up to the decision; lives after are those fitted at the units since."
)


@dataclass(frozen=True, slots=True)
class LivesCompared:
    """Lives of a kind of part on both sides; `judged` is None if a side is empty."""

    parts: str
    before: int
    after: int
    judged: LifeJudgement | None

    @property
    def can_tell(self) -> bool:
        """Whether enough lives ended with a failure on both sides."""
        found = self.judged
        return found is not None and (
            min(found.failures_before, found.failures_after) >= LEAST_FAILURES
        )


def lives_compared(
    action: Action, frozen: Frozen, last_day: date, *, is_due: bool
) -> LivesCompared | None:
    """Compare lives; None for a change that is not about seals or bearings."""
    components = PARTS_OF_CHANGE.get(action.change_made)
    if components is None:
        return None
    before, after = _samples(action, frozen, components, last_day)
    judged = None
    if len(before.used) and len(after.used):
        judged = judge_lives(before.life_data(), after.life_data(), is_due=is_due)
    words = "seal" if components is SEALS else "bearing"
    return LivesCompared(words, len(before.used), len(after.used), judged)


def _samples(
    action: Action, frozen: Frozen, components: tuple[Component, ...], last_day: date
) -> tuple[Sample, Sample]:
    zone = ZoneInfo(action.site.time_zone)
    decided_on = timezone.localdate(action.decided_at, zone)
    cut = pd.Timestamp(end_of_day(decided_on))
    choice = LifeFilter(components=components, site=action.site_id)
    tables = life_tables(user=WHOLE_SITE, choice=choice, as_of=end_of_day(last_day))
    lives = tables.lives
    unit = lives["pump_id" if frozen.kind == UnitKind.MACHINE else "position_id"]
    treated = unit.isin([one.key for one in frozen.treated])
    equal = unit.isin([one.key for one in frozen.equals])
    early = lives["fitted_at"] <= cut
    like = _like(lives, early & treated)
    before = _cut(tables, early & (treated | equal) & like, end_of_day(decided_on))
    after = _cut(tables, ~early & treated, end_of_day(last_day))
    return before, after


def _like(lives: pd.DataFrame, chosen: "pd.Series[bool]") -> "pd.Series[bool]":
    """Lives of a part and piping plan that the chosen ones have."""
    kinds = list(zip(lives["part"], lives["piping_plan"], strict=True))
    wanted = {kind for kind, is_in in zip(kinds, chosen, strict=True) if is_in}
    return pd.Series([kind in wanted for kind in kinds], index=lives.index, dtype=bool)


def _cut(tables: LifeTables, chosen: "pd.Series[bool]", as_of: datetime) -> Sample:
    lives = tables.lives[chosen].reset_index(drop=True)
    rows = LifeTables(lives, tables.placements, tables.positions)
    return sample_build(rows, SampleRule(as_of=as_of))
