"""Checks of a story's repairs that were left out of limit, and what came after."""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from analytics.reports.story.lives import StoryLives
from analytics.reports.story.parts import Length, PartStory, length_of
from analytics.reports.story.repairs import RepairRow
from analytics.samples import Status
from records.check_choices import CheckKind, CheckStage
from records.check_words import limit_in_words, unit_of_kind, value_in_words
from records.models import SettingCheck


@dataclass(frozen=True, slots=True)
class CheckLeft:
    """One setting left out of its limit when the pump was handed back."""

    repair: int
    number: str
    at: datetime
    kind: str
    value: str
    limit: str
    reason: str

    @property
    def label(self) -> str:
        return str(CheckKind(self.kind).label)


@dataclass(frozen=True, slots=True)
class ShortAfterCheck:
    """A part that ran with a check left out of limit, and failed early."""

    number: str
    check: str
    place: str
    hours: float


@dataclass(frozen=True, slots=True)
class BenchStory:
    """`measured` counts all as-left values, in limit or not."""

    measured: int
    out: tuple[CheckLeft, ...]
    fitted_after: int
    short_after: tuple[ShortAfterCheck, ...]


def bench_story(
    repairs: Sequence[RepairRow], lives: StoryLives, parts: Sequence[PartStory]
) -> BenchStory:
    """As-left checks of its repairs, oldest first; one query."""
    by_pk = {row.pk: row for row in repairs}
    checks = list(
        SettingCheck.objects.filter(
            repair__in=by_pk, stage=CheckStage.LEFT, value__isnull=False
        ).order_by("repair__reported_at", "pk")
    )
    out = tuple(
        CheckLeft(
            repair=check.repair_id,
            number=by_pk[check.repair_id].number,
            at=check.measured_at or by_pk[check.repair_id].reported_at,
            kind=check.kind,
            value=value_in_words(check),
            limit=limit_in_words(
                check.limit_low, check.limit_high, unit_of_kind(check.kind)
            ),
            reason=check.out_of_limit_reason,
        )
        for check in checks
        if check.is_out_of_limit
    )
    measured = {check.repair_id for check in checks}
    last_measured = [row for row in repairs if row.pk in measured]
    fitted, short = _lives_after(out, last_measured, lives, parts)
    return BenchStory(len(checks), out, fitted, short)


def _lives_after(
    out: Sequence[CheckLeft],
    measured: Sequence[RepairRow],
    lives: StoryLives,
    parts: Sequence[PartStory],
) -> tuple[int, tuple[ShortAfterCheck, ...]]:
    """Failed lives whose last measured repair left something out, and the short ones.

    A part may be fitted in the shop after that repair was handed back, so the last
    repair before its fitting counts, not only the one that fitted it.
    """
    first = {check.repair: check for check in reversed(out)}
    moments = [row.reported_at for row in measured]
    others = {(part.component, part.part): part for part in parts}
    failed = lives.own[lives.own["status"] == Status.FAILED].sort_values("fitted_at")
    fitted, short = 0, []
    for life in failed.to_dict("records"):
        place = bisect_right(moments, life["fitted_at"].to_pydatetime()) - 1
        check = first.get(measured[place].pk) if place >= 0 else None
        if check is None:
            continue
        fitted += 1
        part, hours = others.get((life["component"], life["part"])), float(life["age"])
        if part is not None and length_of(hours, part.others) is Length.SHORT:
            short.append(ShortAfterCheck(check.number, check.label, part.place, hours))
    return fitted, tuple(short)
