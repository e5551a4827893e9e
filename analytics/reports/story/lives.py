"""Lives of seals and bearings of a story, beside those of like parts nearby."""

from collections.abc import Collection
from dataclasses import dataclass

import pandas as pd
from django.db.models import Q, QuerySet

from analytics.reports.story.subject import Subject
from analytics.samples import Sample, SampleRule, sample_build
from plant.choices import Component, ConditionFitted, Location
from plant.models import FittedLife, Placement, Position, Pump
from records.selectors.lives import (
    LIFE_FIELDS,
    LIFE_NUMBERS,
    LIFE_TIMES,
    POSITION_FIELDS,
    PUMP_FIELDS,
    LifeTables,
    life_table,
)
from records.selectors.lives import position_or_next as position_or_next
from records.selectors.lives import with_pump_and_position as with_pump_and_position


@dataclass(frozen=True, slots=True, eq=False)
class StoryLives:
    """Every life of the subject, and the sample of like parts they are part of."""

    sample: Sample
    tables: LifeTables
    own: pd.DataFrame

    def still_in(self, pump: int) -> pd.DataFrame:
        """What the pump carries now, in the order of the places in a pump."""
        own = self.own
        now = own[~own["closed"].astype(bool) & (own["pump_id"] == pump)]
        places = {place: number for number, place in enumerate(Location.values)}
        return now.sort_values("location", key=lambda column: column.map(places))


def story_lives(subject: Subject, neighbours: Collection[int]) -> StoryLives:
    """Read own lives and those of the same parts in neighbouring pumps.

    The number of queries is fixed, and the rows read are bounded by the neighbours.
    """
    own_parts = (
        FittedLife.objects.visible_to(subject.user)
        .filter(pump__in=subject.pumps(), fitted_at__lte=subject.as_of)
        .order_by()
        .values_list("part_number", "designation")
        .distinct()
    )
    names = {name for pair in own_parts for name in pair if name}
    stood = Placement.objects.filter(
        position__in=neighbours, placed_at__lte=subject.as_of
    )
    fitted = FittedLife.objects.filter(position__in=neighbours)
    pumps = {
        *stood.order_by()
        .values_list("pump", flat=True)
        .union(fitted.order_by().values_list("pump", flat=True))
    }
    chosen = FittedLife.objects.visible_to(subject.user).filter(
        Q(pump__in=subject.pumps())
        | Q(pump__in=pumps)
        & (
            Q(component=Component.SEAL, part_number__in=names)
            | ~Q(component=Component.SEAL) & Q(designation__in=names)
        ),
        fitted_at__lte=subject.as_of,
    )
    tables = _tables(chosen, pumps | subject.pumps(), subject)
    rule = SampleRule(as_of=subject.as_of, conditions=tuple(ConditionFitted.values))
    sample = sample_build(tables, rule)
    rows = sample.rows
    ends = rows["ended"].where(rows["closed"].astype(bool), subject.as_of)
    flags = [
        subject.has_life(pump, end.to_pydatetime())
        for pump, end in zip(rows["pump_id"], ends, strict=True)
    ]
    return StoryLives(sample, tables, rows[pd.Series(flags, rows.index, dtype=bool)])


def _tables(
    chosen: QuerySet[FittedLife], pumps: Collection[int], subject: Subject
) -> LifeTables:
    """The background of some lives, of a bounded number of pumps."""
    placed = Placement.objects.filter(pump__in=pumps, placed_at__lte=subject.as_of)
    placements = life_table(
        placed,
        ("pump_id", "position_id", "placed_at", "removed_at"),
        ("placed_at", "removed_at"),
    )
    lives = life_table(chosen.order_by("pk"), LIFE_FIELDS, LIFE_TIMES)
    lives[list(LIFE_NUMBERS)] = lives[list(LIFE_NUMBERS)].astype(float)
    lives["position_id"] = position_or_next(lives, placements)
    stood = {*placements["position_id"], *lives["position_id"].dropna()}
    positions = Position.objects.filter(pk__in={int(pk) for pk in stood}).order_by()
    lives = with_pump_and_position(
        lives,
        life_table(
            Pump.objects.filter(pk__in=set(lives["pump_id"].tolist())).order_by(),
            tuple(PUMP_FIELDS),
        ),
        life_table(positions, tuple(POSITION_FIELDS)),
    )
    return LifeTables(lives.reset_index(drop=True), placements, positions)
