"""Time in service of seals or bearings inside a window, with their failures."""

from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta
from typing import Any

import numpy as np
import pandas as pd

from analytics.exposure import Floats, Ints
from analytics.scope import Scope
from plant.choices import BEARINGS, Component, Ending
from plant.display import count
from plant.endings import ending_of
from records.selectors.exposure import day_starts, service_spans
from records.selectors.hours import RunningHours, running_hours
from records.selectors.lives import LifeFilter, life_tables

DAY = 86400.0
EPOCH = pd.Timestamp(0, tz="UTC")
NOT_RECORDED = "not recorded"


@dataclass(frozen=True, slots=True)
class ComponentTime:
    """Spans of components at positions; `failures` are row numbers of spans."""

    spans: pd.DataFrame
    days: Floats
    hours: RunningHours
    failures: Ints
    notes: list[str]


def component_time(scope: Scope, *, seals: bool) -> ComponentTime:
    """Seals labelled by piping plan, or bearings labelled by designation."""
    components = (Component.SEAL,) if seals else BEARINGS
    choice = LifeFilter(
        components=tuple(str(component) for component in components),
        site=scope.site.pk if scope.site else None,
    )
    after = datetime.combine(scope.window.end + timedelta(days=2), time(), UTC)
    tables = life_tables(user=scope.user, choice=choice, as_of=after)
    spans = _spans(tables.lives, tables.placements, scope)
    spans["label"] = _labels(spans, seals)
    starts, ends = (spans[name].to_numpy(dtype=float) for name in ("start", "end"))
    kinds = [_ending(life) for life in spans.to_dict("records")]
    failed = [
        kind == Ending.FAILED or (kind == Ending.REJECTED and bool(rejects))
        for kind, rejects in zip(kinds, spans["rejects_fail_at_site"], strict=True)
    ]
    at_end = spans["ended_here"].to_numpy(dtype=bool)
    return ComponentTime(
        spans=spans,
        days=(ends - starts) / DAY,
        hours=running_hours(scope.positions(), spans, starts, ends),
        failures=np.flatnonzero(np.array(failed, dtype=bool) & at_end),
        notes=_notes(tables.lives, tables.placements),
    )


def _spans(lives: pd.DataFrame, placements: pd.DataFrame, scope: Scope) -> pd.DataFrame:
    """Each stretch that a component stood at a position in service, in seconds."""
    service = service_spans(scope.positions())
    lives = lives.drop(columns=["position_id", "tag"], errors="ignore")
    placements = placements.rename(columns={"removed_at": "moved_at"})
    table = lives.merge(placements, on="pump_id").merge(
        service, left_on="position_id", right_on="position"
    )
    zones = table["zone"].to_numpy()
    first, after = scope.window.first_day, scope.window.day_after
    served = [
        day_starts(np.clip(table[name].to_numpy(), first, after), zones)
        for name in ("start_day", "end_day")
    ]
    began = table["started_at"].fillna(table["fitted_at"])
    ended = _seconds(table["ended_at"].fillna(table["removed_at"]), np.inf)
    start = np.maximum.reduce(
        [
            _seconds(began, -np.inf),
            _seconds(table["placed_at"], -np.inf),
            _seconds(table["records_from"], -np.inf),
            served[0],
        ]
    )
    end = np.minimum.reduce([ended, _seconds(table["moved_at"], np.inf), served[1]])
    table = table.assign(start=start, end=end, ended_here=ended == end)
    spans: pd.DataFrame = table[end > start].reset_index(drop=True)
    return spans


def _seconds(moments: "pd.Series[Any]", if_blank: float) -> Floats:
    seconds = (moments - EPOCH) / pd.Timedelta(seconds=1)
    return np.asarray(seconds.fillna(if_blank), dtype=float)


def _labels(spans: pd.DataFrame, seals: bool) -> "pd.Series[str]":
    names = spans["piping_plan" if seals else "designation"].astype(str)
    shown = "plan " + names if seals else names
    return shown.where(names != "", NOT_RECORDED)


def _ending(life: dict[Any, Any]) -> Ending:
    def moment(*names: str) -> Any:
        return next((life[name] for name in names if not pd.isna(life[name])), None)

    return ending_of(
        removed_at=moment("removed_at"),
        started_at=moment("started_at", "fitted_at"),
        ended_at=moment("ended_at", "removed_at"),
        defect_detected=moment("defect_detected"),
        condition_found=life["condition_found"],
        why_removed=life["why_removed"],
    )


def _notes(lives: pd.DataFrame, placements: pd.DataFrame) -> list[str]:
    never = int((~lives["pump_id"].isin(placements["pump_id"])).sum())
    if not never:
        return []
    return [
        f"{count(never, 'life,lives')} left out: their pump never stood at a position."
    ]
