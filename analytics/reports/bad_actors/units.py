"""Positions, and the machines that stood at them, with exposure and events."""

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import numpy as np
import pandas as pd

from analytics.exposure import Floats, exposure_days, months_back, rows_of
from analytics.in_service import Service, service_load
from analytics.peers import duty, liquid_classes
from analytics.rework import first_of_event
from analytics.scope import Scope
from plant.models import DutyPeriod, Placement
from records.selectors.exposure import LAST_DAY, day_numbers

UNIT_COLUMNS = [
    *("key", "label", "place", "site_name", "liquid_class", "duty", "days"),
    *("repairs", "failures", "events", "last_day"),
]


def bad_actor_service(scope: Scope, loaded: Service | None = None) -> Service:
    """Events from before the window too; out of what is loaded of the scope, if any.

    The window may begin with rework, and so may that of a month before.
    """
    since = events_since(scope)
    if loaded is None:
        return service_load(scope, since=since)
    events, left_out = (
        table[table["day"] >= since.toordinal()]
        for table in (loaded.events, loaded.left_out)
    )
    return replace(loaded, events=events, left_out=left_out)


def events_since(scope: Scope) -> date:
    """From when on the rule needs the events."""
    longest = max((site.rework_window_days for site in scope.sites), default=0)
    return months_back(scope.window.start, 1) - timedelta(days=2 * longest)


def position_units(service: Service) -> pd.DataFrame:
    """One row a position in service."""
    spans = service.spans
    shares = _running_shares(service.scope)
    units = pd.DataFrame(
        {
            "key": spans["position"],
            "label": spans["tag"],
            "place": spans["area_name"],
            "site_name": spans["site_name"],
            "liquid_class": liquid_classes(spans["hazards"]),
            "duty": [duty(shares.get(pk, 1.0)) for pk in spans["position"]],
            "days": exposure_days(spans, service.scope.window),
        }
    )
    return _with_events(units, service, service.events["row"])


def machine_units(service: Service) -> pd.DataFrame:
    """One row a pump that stood at a position in service.

    Its peers are those of the position where it stood longest.
    """
    stays = stays_in_service(service)
    longest = stays.sort_values("days", kind="stable").drop_duplicates(
        "pump", keep="last"
    )
    positions = position_units(service).set_index("key")
    classes = positions.loc[longest["position"]].reset_index(drop=True)
    days = stays.groupby("pump")["days"].sum()
    places = _tags_of(stays)
    units = pd.DataFrame(
        {
            "key": longest["pump"].to_numpy(),
            "label": longest["serial_number"].to_numpy(),
            "place": [places[pump] for pump in longest["pump"]],
            "site_name": classes["site_name"],
            "liquid_class": classes["liquid_class"],
            "duty": classes["duty"],
            "days": days.reindex(longest["pump"]).to_numpy(),
        }
    )
    rows = rows_of(service.events["pump"], units["key"])
    return _with_events(units, service, pd.Series(rows, service.events.index))


def _tags_of(stays: pd.DataFrame) -> dict[int, str]:
    """The tags that each pump stood at, in order of time."""
    tags: dict[int, dict[str, None]] = {}
    for pump, tag in zip(stays["pump"], stays["tag"], strict=True):
        tags.setdefault(pump, {})[tag] = None
    return {pump: ", ".join(those) for pump, those in tags.items()}


def _running_shares(scope: Scope) -> dict[int, float]:
    """The running share of each position on the as-of day."""
    periods = DutyPeriod.objects.filter(
        position__in=scope.positions().order_by().values("pk"),
        starts_on__lte=scope.window.end,
    ).order_by("starts_on")
    return dict(periods.values_list("position", "running_share"))


def stays_in_service(service: Service) -> pd.DataFrame:
    """Each stay of a pump at a position, with its days in service in the window."""
    columns = ["pump", "serial_number", "position", "placed_at", "removed_at"]
    rows = (
        Placement.objects.filter(
            position__in=service.scope.positions().order_by().values("pk")
        )
        .order_by("placed_at")
        .values_list(
            "pump", "pump__serial_number", "position", "placed_at", "removed_at"
        )
    )
    stays = pd.DataFrame(list(rows), columns=columns).merge(
        service.spans[["position", "tag", "start_day", "end_day"]], on="position"
    )
    stays["start_day"] = np.maximum(
        stays["start_day"], day_numbers(stays["placed_at"], LAST_DAY)
    )
    stays["end_day"] = np.minimum(
        stays["end_day"], day_numbers(stays["removed_at"], LAST_DAY)
    )
    stays["days"] = exposure_days(stays, service.scope.window)
    return stays[stays["days"] > 0].reset_index(drop=True)


def _with_events(
    units: pd.DataFrame, service: Service, row_of_event: "pd.Series[Any]"
) -> pd.DataFrame:
    """Counts inside the window, and how many separate events they make."""
    events = service.events.assign(unit=row_of_event.to_numpy())
    events = events[events["unit"] >= 0]
    windows = {site.name: site.rework_window_days for site in service.scope.sites}
    unit = events["unit"].to_numpy(dtype=np.int64)
    opens = first_of_event(
        unit,
        events["day"].to_numpy(),
        events["back_day"].to_numpy(),
        units["site_name"].map(windows).to_numpy()[unit].astype(np.int64)
        if len(units)
        else unit,
    )
    day = events["day"].to_numpy()
    window = service.scope.window
    inside = (day >= window.first_day) & (day < window.day_after)
    failed = events["is_failure"].to_numpy(dtype=bool)

    def counted(mask: Any) -> Floats:
        return np.bincount(unit[mask], minlength=len(units)).astype(float)

    last_day = np.zeros(len(units), dtype=np.int64)
    np.maximum.at(last_day, unit[inside], day[inside])
    units = units.assign(
        repairs=counted(inside),
        failures=counted(inside & failed),
        events=counted(inside & opens),
        last_day=last_day,
    )
    return units[units["days"] > 0].reset_index(drop=True)
