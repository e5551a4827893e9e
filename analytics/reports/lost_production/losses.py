"""From rows of positions and stoppages to time lost and its price, by stoppage."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from analytics.money.lost_production import Outages, loss, outages
from analytics.money.stops import HOUR, Fleet, Ints, Stops
from analytics.reports.lost_production.outcome import Outcome
from plant.choices import Sparing
from records.selectors.exposure import FIRST_DAY, LAST_DAY, day_numbers, day_starts
from records.selectors.moments import FIRST, SECOND, microseconds_counted

Part = tuple[int, int, int]
CENT = Decimal("0.01")


@dataclass(frozen=True, slots=True, eq=False)
class Losses:
    """Stoppages with what they lost in the days looked at.

    `table` has one row a stoppage, in the order of `outages.stops`: times in
    microseconds, amounts in cents. From `begin` to `end` it `stood`, in service and
    inside the days; `uncovered`, `borne`, `spent` (buffer) and `lost` are parts of
    that time. `cents` is what the lost time costs, `counted` the part of it that
    nobody entered.
    """

    members: pd.DataFrame
    table: pd.DataFrame
    fleet: Fleet
    outages: Outages
    parts: dict[int, list[Part]]
    """Lost time of a row: microseconds, how many were missing, of how many."""
    lines: dict[int, list[dict[str, Any]]]
    """Ledger lines of lost production by stoppage."""


def losses(
    members: pd.DataFrame,
    stops: pd.DataFrame,
    lines: Iterable[dict[str, Any]],
    days: tuple[date | None, date],
    now: datetime,
) -> Losses:
    """Work out what each stoppage lost between two days, both included, and now."""
    members = members.assign(is_assumed=_assumed(members))
    fleet = _fleet(members)
    row = pd.Index(members["position"]).get_indexer(stops["position"])
    low, high = (bound[row] for bound in _bounds(members, days, now))
    start, end = _times(stops, now)
    found = outages(fleet, Stops(np.asarray(row, dtype=np.int64), start, end))
    by_stop: dict[int, list[dict[str, Any]]] = defaultdict(list)
    for line in lines:
        by_stop[line["stoppage"]].append(line)
    has_figure = stops["repair"].isin(by_stop.keys()).to_numpy(dtype=bool)
    stretches = _stretches(found, low, high, has_figure)
    table = stops.assign(
        member=row,
        is_open=stops["returned"].isna(),
        is_cut=(start < low) | (end > high),
        in_days=(start < high) & ((end > low) | (start >= low)),
        stop_as_reported=_as_reported(stops),
        has_figure=has_figure,
        begin=_cut(found.stops.start, low, high),
        end=_cut(found.stops.end, low, high),
        uncovered=_during(found, stretches["time"].to_numpy()),
        **_sums(stretches, len(stops)),
    )
    table = table.assign(stood=table["end"] - table["begin"])
    parts = _parts(stretches)
    nobodys = _parts(stretches[~stretches["entered"]])
    cents = _cents(parts, members, row)
    partly = {stop: some for stop, some in nobodys.items() if some != parts[stop]}
    counted = np.where([stop in nobodys for stop in range(len(stops))], cents, 0)
    counted[list(partly)] = _cents(partly, members, row)[list(partly)]
    table = table.assign(cents=cents, counted=counted)
    table = table.assign(outcome=_outcomes(table, members))
    return Losses(members, table, fleet, found, parts, dict(by_stop))


def _assumed(members: pd.DataFrame) -> npt.NDArray[np.bool_]:
    """A spare is installed, but nobody said which position it is."""
    sizes = members.groupby("group")["position"].transform("size").fillna(1)
    installed = members["sparing"] == Sparing.INSTALLED
    return np.asarray(installed & (sizes < 2), dtype=bool)


def _fleet(members: pd.DataFrame) -> Fleet:
    own = -1 - np.arange(len(members))
    group = members["group"].astype("Int64").to_numpy(dtype=np.float64, na_value=np.nan)
    alone = np.isnan(group)
    needed = members["needed"].astype("Int64").to_numpy(dtype=np.int64, na_value=1)
    zones = members["zone"].to_numpy()
    since = _moments(day_numbers(members["in_service_on"], FIRST_DAY), zones)
    until = _moments(day_numbers(members["out_of_service_on"], LAST_DAY), zones)
    buffer = np.rint(members["buffer_hours"].to_numpy(dtype=np.float64) * HOUR)
    return Fleet(
        group=np.where(alone, own, np.nan_to_num(group)).astype(np.int64),
        needed=np.where(members["is_assumed"], 0, needed).astype(np.int64),
        serves_from=since,
        serves_until=np.maximum(since, until),
        buffer=buffer.astype(np.int64),
    )


def _bounds(
    members: pd.DataFrame, days: tuple[date | None, date], now: datetime
) -> tuple[Ints, Ints]:
    """Microseconds at which the days begin and end where each position stands."""
    zones = members["zone"].to_numpy()
    present = round(now.timestamp() * SECOND)
    after = np.full(len(members), days[1].toordinal() + 1, dtype=np.int64)
    high = np.minimum(_moments(after, zones), present)
    if days[0] is None:
        return np.full(len(members), FIRST, dtype=np.int64), high
    first = np.full(len(members), days[0].toordinal(), dtype=np.int64)
    return _moments(first, zones), high


def _moments(days: Ints, zones: npt.NDArray[np.object_]) -> Ints:
    return np.rint(day_starts(days, zones) * SECOND).astype(np.int64)


def _as_reported(stops: pd.DataFrame) -> npt.NDArray[np.bool_]:
    """An import without a stop took the report for it."""
    same = stops["stopped"].to_numpy() == stops["reported"].to_numpy()
    return np.asarray(same & stops["is_imported"].to_numpy(dtype=bool), dtype=bool)


def _times(stops: pd.DataFrame, now: datetime) -> tuple[Ints, Ints]:
    """Stop and hand-back; one that is open lasts until now."""
    start = microseconds_counted(stops["stopped"]).astype(np.int64)
    back = microseconds_counted(stops["returned"])
    back = np.where(np.isnan(back), round(now.timestamp() * SECOND), back)
    return start, np.maximum(start, back.astype(np.int64))


def _cut(moments: Ints, low: Ints, high: Ints) -> Ints:
    return np.asarray(np.clip(moments, low, np.maximum(low, high)), dtype=np.int64)


def _stretches(
    found: Outages, low: Ints, high: Ints, has_figure: npt.NDArray[np.bool_]
) -> pd.DataFrame:
    """The stretches of outages, cut to the days; `time` and `lost` are their length."""
    bounds = low[found.stop], high[found.stop]
    start, lost_from, end = (
        _cut(moments, *bounds) for moments in (found.start, found.lost_from, found.end)
    )
    return pd.DataFrame(
        {
            "stop": found.stop,
            "short": found.short,
            "wanted": found.wanted,
            "entered": found.entered(has_figure),
            "time": end - start,
            "lost": end - lost_from,
        }
    )


def _during(found: Outages, time: Ints) -> Ints:
    """Time of all stretches during each stoppage, whichever bears them."""
    until = np.concatenate([np.zeros(1, dtype=np.int64), np.cumsum(time)])
    return np.asarray(until[found.after] - until[found.first], dtype=np.int64)


def _sums(stretches: pd.DataFrame, size: int) -> dict[str, Ints]:
    """Time borne by each stoppage, and how much of it was lost."""
    sums = stretches.groupby("stop")[["time", "lost"]].sum()
    sums = sums.reindex(range(size), fill_value=0)
    borne, lost = (sums[name].to_numpy(dtype=np.int64) for name in ("time", "lost"))
    return {"borne": borne, "lost": lost, "spent": borne - lost}


def _parts(stretches: pd.DataFrame) -> dict[int, list[Part]]:
    """Lost time of each stoppage by how many were missing."""
    losing = stretches[stretches["lost"] > 0]
    keys = ["stop", "wanted", "short"]
    sums = losing.groupby(keys, as_index=False)["lost"].sum()
    parts: dict[int, list[Part]] = defaultdict(list)
    for stop, wanted, short, lost in sums[[*keys, "lost"]].to_numpy().tolist():
        parts[stop].append((lost, short, wanted))
    return dict(parts)


def _cents(parts: dict[int, list[Part]], members: pd.DataFrame, row: Any) -> Ints:
    """What the lost time of each row costs, each rounded once."""
    cents = np.zeros(len(row), dtype=np.int64)
    costs, shares = members["cost"].to_list(), members["share"].to_list()
    for stop, lost in parts.items():
        member = row[stop]
        if costs[member]:
            amount = loss(lost, costs[member], shares[member])
            cents[stop] = int(amount.scaleb(2))
    return cents


def _outcomes(table: pd.DataFrame, members: pd.DataFrame) -> npt.NDArray[np.object_]:
    at = members.iloc[table["member"].to_numpy()]
    reasons = [
        (table["stood"].to_numpy() == 0, Outcome.NO_TIME),
        (at["is_assumed"].to_numpy(dtype=bool), Outcome.ASSUMED),
        (table["uncovered"].to_numpy() == 0, Outcome.COVERED),
        (table["borne"].to_numpy() == 0, Outcome.BORNE),
        (table["lost"].to_numpy() == 0, Outcome.BUFFER),
        (at["share"].to_numpy(dtype=float) == 0, Outcome.NO_SHARE),
        (at["cost"].to_numpy() == 0, Outcome.UNPRICED),
    ]
    conditions, outcomes = zip(*reasons, strict=True)
    chosen = np.select(conditions, [str(o) for o in outcomes], str(Outcome.LOSS))
    return np.asarray(chosen, dtype=object)
