"""Fitted lives and what their ages rest on, as plain tables for analytics.

Nothing is judged here: what failed, what is left out and how old a life is are
decided by analytics.samples.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from functools import cache
from typing import Any
from zoneinfo import ZoneInfo

import pandas as pd
from django.db.models import Exists, Max, OuterRef, Q, QuerySet

from plant.choices import Component
from plant.days import day_counted
from plant.models import FittedLife, Placement, Position, Pump, User
from records.models import HourReading
from records.selectors.moments import Microseconds, moments_counted

MOST_NAMED = 1000
LIFE_TIMES = ("fitted_at", "started_at", "ended_at", "removed_at")
LIFE_NUMBERS = (
    "age_at_entry_days",
    "age_at_entry_hours",
    "fitted_hours",
    "removed_hours",
    "fitted_starts",
    "removed_starts",
    "running_share",
)
LIFE_WORDS = (
    "component",
    "location",
    "beginning",
    "condition_found",
    "why_removed",
    "condition_fitted",
    "serial",
    "part_number",
    "designation",
    "piping_plan",
    "liquid",
)
LIFE_FIELDS = (
    *("pk", "pump_id", "position_id", "defect_detected"),
    *LIFE_TIMES,
    *LIFE_NUMBERS,
    *LIFE_WORDS,
)
PUMP_FIELDS = {
    "pk": "pump_id",
    "serial_number": "serial_number",
    "retired_on": "retired_on",
    "records_from": "pump_records_from",
    "site__records_from": "site_records_from",
    "site__time_zone": "time_zone",
    "site__reject_counts_as_failure": "rejects_fail_at_site",
}
POSITION_FIELDS = {
    "pk": "position_id",
    "tag": "tag",
    "area_id": "area_id",
    "liquid": "liquid_of_position",
    "records_from": "position_records_from",
}


@dataclass(frozen=True, slots=True)
class LifeFilter:
    """Which lives; a field left empty does not narrow the choice."""

    components: tuple[str, ...] = tuple(Component.values)
    part: str = ""
    piping_plan: str = ""
    site: int | None = None
    area: int | None = None
    liquid: str = ""
    location: str = ""
    fitted_from: date | None = None
    fitted_to: date | None = None
    pump: int | None = None


@dataclass(frozen=True, slots=True, eq=False)
class LifeTables:
    """Lives (one row each) with the placements of their pumps and their positions.

    All times are in UTC. `records_from` and `retired_at` of a life are the first
    moment of those days at its site.
    """

    lives: pd.DataFrame
    placements: pd.DataFrame
    positions: QuerySet[Position]


def life_tables(*, user: User, choice: LifeFilter, as_of: datetime) -> LifeTables:
    """Load lives fitted by a moment, and their background, in four queries."""
    chosen = _lives_chosen(user=user, choice=choice, as_of=as_of)
    pumps = chosen.order_by().values("pump")
    placed = Placement.objects.filter(pump__in=pumps, placed_at__lte=as_of)
    placements = life_table(
        placed.order_by("placed_at", "pk"),
        ("pump_id", "position_id", "placed_at", "removed_at"),
        ("placed_at", "removed_at"),
    )
    lives = life_table(chosen.order_by("pk"), LIFE_FIELDS, LIFE_TIMES)
    lives[list(LIFE_NUMBERS)] = lives[list(LIFE_NUMBERS)].astype(float)
    positions = _positions_of(lives, placements)
    lives["position_id"] = position_or_next(lives, placements)
    lives = with_pump_and_position(
        lives,
        life_table(Pump.objects.filter(pk__in=pumps).order_by(), tuple(PUMP_FIELDS)),
        life_table(positions, tuple(POSITION_FIELDS)),
    )
    if choice.area:
        lives = lives[lives["area_id"] == choice.area]
    if choice.liquid:
        lives = lives[lives["liquid"] == choice.liquid]
    return LifeTables(lives.reset_index(drop=True), placements, positions)


def _lives_chosen(
    *, user: User, choice: LifeFilter, as_of: datetime
) -> QuerySet[FittedLife]:
    lives = FittedLife.objects.visible_to(user).filter(
        component__in=choice.components, fitted_at__lte=as_of
    )
    if choice.part:
        lives = lives.filter(Q(part_number=choice.part) | Q(designation=choice.part))
    for field, wanted in (
        ("piping_plan", choice.piping_plan),
        ("location", choice.location),
        ("pump", choice.pump),
        ("pump__site", choice.site),
        ("fitted_at__date__gte", choice.fitted_from),
        ("fitted_at__date__lte", choice.fitted_to),
    ):
        if wanted:
            lives = lives.filter(**{field: wanted})
    return lives


def _positions_of(lives: pd.DataFrame, placements: pd.DataFrame) -> QuerySet[Position]:
    """Positions at which the lives stood, maybe with others of their sites.

    A few are asked for by name. Where there are many, naming them (or how they were
    found) costs the database more in each query than the others of their sites do.
    """
    places = {*lives["position_id"].dropna(), *placements["position_id"]}
    named = Position.objects.order_by()
    if len(places) <= MOST_NAMED:
        return named.filter(pk__in=[int(place) for place in places])
    ends = min(places), max(places)
    sites = named.filter(pk__range=ends).values("site").distinct()
    return named.filter(site__in=sites)


def life_table(
    rows: QuerySet[Any], fields: tuple[str, ...], times: Collection[str] = ()
) -> pd.DataFrame:
    """The fields of some rows, one column each; `times` names the moments."""
    read = [Microseconds(name) if name in times else name for name in fields]
    table = pd.DataFrame.from_records(
        list(rows.values_list(*read)), columns=list(fields)
    )
    for field in times:
        table[field] = moments_counted(table[field])
    return table


def position_or_next(lives: pd.DataFrame, placements: pd.DataFrame) -> "pd.Series[Any]":
    """Position at fitting or, for what was fitted in the shop, the next one."""
    position = lives["position_id"].astype("Int64")
    homeless = lives.loc[position.isna(), ["pump_id", "fitted_at"]].reset_index()
    moves = homeless.merge(placements, on="pump_id")
    later = moves["removed_at"].isna() | (moves["removed_at"] > moves["fitted_at"])
    first = moves[later].sort_values("placed_at").drop_duplicates("index")
    position.loc[first["index"]] = first["position_id"].to_numpy()
    return position


def with_pump_and_position(
    lives: pd.DataFrame, pumps: pd.DataFrame, positions: pd.DataFrame
) -> pd.DataFrame:
    """Lives with what is known of their pump and position beside each."""
    pumps = pumps.rename(columns=PUMP_FIELDS)
    positions = positions.rename(columns=POSITION_FIELDS)
    positions["position_id"] = positions["position_id"].astype("Int64")
    lives = lives.rename(columns={"pk": "life_id"})
    lives = lives.merge(pumps, on="pump_id", how="left")
    lives = lives.merge(positions, on="position_id", how="left")
    lives["tag"] = lives["tag"].fillna("")
    nowhere = lives["liquid"] == ""
    lives["liquid"] = lives["liquid"].mask(nowhere, lives["liquid_of_position"])
    lives["part"] = lives["part_number"].mask(
        lives["component"] != Component.SEAL, lives["designation"]
    )
    # The nearest record wins: the pump's own, else its position's, else the site's.
    own, there, site = (
        lives[f"{whose}_records_from"] for whose in ("pump", "position", "site")
    )
    nearest = own.where(own.notna(), there.where(there.notna(), site))
    lives["records_from"] = _day_starts(nearest, lives["time_zone"])
    lives["retired_at"] = _day_starts(lives["retired_on"], lives["time_zone"])
    return lives


def _day_starts(days: "pd.Series[Any]", zones: "pd.Series[Any]") -> "pd.Series[Any]":
    known = days.notna()
    moments = pd.Series(pd.NaT, index=days.index, dtype="datetime64[ns, UTC]")
    moments[known] = [
        _day_start(day, zone)
        for day, zone in zip(days[known], zones[known], strict=True)
    ]
    return moments


@cache
def _day_start(day: date, zone: str) -> datetime:
    start = datetime.combine(day_counted(day), time(), tzinfo=ZoneInfo(zone))
    return start.astimezone(UTC)


def last_readings(positions: QuerySet[Position]) -> dict[int, datetime]:
    """When the running-hour meter of each position was last read."""
    rows = (
        HourReading.objects.filter(position__in=positions.values("pk"))
        .order_by()
        .values_list("position")
        .annotate(last=Max("read_at"))
    )
    return dict(rows)


def pumps_without_life(
    *, user: User, choice: LifeFilter, as_of: datetime
) -> Sequence[Mapping[str, Any]]:
    """Pumps at a position at that moment in which no such component stands."""
    at_moment = Q(removed_at__isnull=True) | Q(removed_at__gt=as_of)
    standing = FittedLife.objects.filter(
        at_moment,
        pump=OuterRef("pump"),
        component__in=choice.components,
        fitted_at__lte=as_of,
    )
    placed = Placement.objects.filter(
        at_moment,
        ~Exists(standing),
        Q(pump__retired_on__isnull=True) | Q(pump__retired_on__gt=as_of.date()),
        pump__in=Pump.objects.visible_to(user),
        placed_at__lte=as_of,
    )
    for field, wanted in (
        ("position__site", choice.site),
        ("position__area", choice.area),
        ("position__liquid", choice.liquid),
    ):
        if wanted:
            placed = placed.filter(**{field: wanted})
    return list(
        placed.order_by("position__tag").values(
            "pump_id", "pump__serial_number", "position_id", "position__tag"
        )
    )


def life_choices(user: User) -> Sequence[Mapping[str, Any]]:
    """Combinations of what a life can be chosen by, as found in the records."""
    return list(
        FittedLife.objects.visible_to(user)
        .order_by()
        .values(
            "component",
            "location",
            "part_number",
            "designation",
            "piping_plan",
            "liquid",
        )
        .distinct()
    )
