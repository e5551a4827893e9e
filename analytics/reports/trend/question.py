"""What a reader asks of the Trend page: which positions, which events, which clock."""

from dataclasses import dataclass, replace
from functools import cached_property

from django.db import models

from analytics.scope import Scope
from plant.choices import Criticality
from plant.models import Position
from plant.models.position import PositionQuerySet
from records.selectors.histories import with_seal_plan


class Counted(models.TextChoices):
    REPAIRS = "repairs", "Repairs"
    FAILURES = "failures", "Failures"

    @property
    def one(self) -> str:
        """A single event, in words."""
        return self.value.removesuffix("s")


class TrendClock(models.TextChoices):
    """What the time of a position is counted in; a figure never mixes the two."""

    DAYS = "days", "Calendar days"
    HOURS = "hours", "Running hours, where measured"

    @property
    def unit(self) -> str:
        return "d" if self is TrendClock.DAYS else "h"

    @property
    def in_words(self) -> str:
        return "days" if self is TrendClock.DAYS else "running hours"


@dataclass(frozen=True)
class TrendScope(Scope):
    """Place and days, narrowed by what stands at the positions now."""

    liquid: str = ""
    criticality: str = ""
    plan: str = ""

    def positions(self) -> PositionQuerySet:
        rows = super().positions()
        if self.liquid:
            rows = rows.filter(liquid=self.liquid)
        if self.criticality:
            rows = rows.filter(criticality=self.criticality)
        if self.plan:
            rows = with_seal_plan(rows, self.plan)
        return rows

    def in_words(self) -> str:
        """Tag or place, and choice; the end alone, as beginnings differ."""
        place = (
            super()
            .in_words()
            .removesuffix(f", {self.window.start} to {self.window.end}")
        )
        if self.position is not None:
            place = f"{self.position.tag}, {place}"
        chosen = [
            place,
            self.liquid,
            f"{Criticality(self.criticality).label.lower()} criticality"
            if self.criticality
            else "",
            f"seal plan {self.plan} now" if self.plan else "",
            f"up to {self.window.end}",
        ]
        return ", ".join(words for words in chosen if words)


@dataclass(frozen=True)
class TrendQuestion:
    """One question; of a position, when one is named, beside its peers."""

    scope: TrendScope
    counted: Counted = Counted.REPAIRS
    clock: TrendClock = TrendClock.DAYS
    merges_rework: bool = False

    @property
    def subject(self) -> Position | None:
        return self.scope.position

    @cached_property
    def loaded(self) -> TrendScope:
        """The positions to load: for one position also those it is compared with."""
        if self.subject is None:
            return self.scope
        return TrendScope(
            self.scope.user, self.scope.window, confidence=self.scope.confidence
        )

    def about(self, position: Position) -> "TrendQuestion":
        """The same question of one position."""
        return replace(self, scope=replace(self.scope, position=position))
