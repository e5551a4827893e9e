"""Which units an action treats, and which equals stand beside them."""

from dataclasses import replace
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pandas as pd
from django.db.models import Q

from analytics.exposure import Flags, Window
from analytics.in_service import Service, service_load
from analytics.peers import peer_groups
from analytics.reports.bad_actors.report import UnitKind
from analytics.reports.bad_actors.units import machine_units, position_units
from analytics.scope import Scope
from plant.models import FittedLife, Placement, Site, User
from records.models import Action

# Figures of an action are the same for whoever looks: they are read with the eyes of
# somebody who sees the whole site.
WHOLE_SITE = User(username="whole site", sees_all_sites=True)


def kind_of(action: Action) -> UnitKind:
    """Tags, unless the action names a machine and no tag."""
    if action.pump_id is not None and not action.positions.exists():
        return UnitKind.MACHINE
    return UnitKind.POSITION


def treated_keys(action: Action, on: date) -> list[int]:
    """Positions, or the one pump, that the action treats.

    An action on a kind of part alone treats the positions where such a part stood
    that day.
    """
    if kind_of(action) is UnitKind.MACHINE:
        return [action.pump_id] if action.pump_id else []
    named = list(action.positions.order_by("tag").values_list("pk", flat=True))
    return named or _standing_with(action, on)


def _standing_with(action: Action, on: date) -> list[int]:
    zone = ZoneInfo(action.site.time_zone)
    moment = datetime.combine(on + timedelta(days=1), time(), tzinfo=zone)
    still_in = Q(removed_at__isnull=True) | Q(removed_at__gt=moment)
    lives = FittedLife.objects.filter(
        still_in,
        Q(part_number=action.population) | Q(designation=action.population),
        pump__site=action.site,
        fitted_at__lte=moment,
    )
    placed = Placement.objects.filter(
        still_in, placed_at__lte=moment, pump__in=lives.order_by().values("pump")
    )
    return sorted(set(placed.values_list("position", flat=True)))


def site_service(site: Site, window: Window) -> Service:
    """Positions of a site with their events; earlier ones tell rework apart."""
    scope = Scope(WHOLE_SITE, window, site=site)
    since = window.start - timedelta(days=2 * site.rework_window_days)
    return service_load(scope, since=since)


def units_in(service: Service, kind: UnitKind, window: Window) -> pd.DataFrame:
    """Units with days in service and separate events inside a window.

    The service must have been loaded for a window that holds this one.
    """
    narrowed = replace(service, scope=replace(service.scope, window=window))
    if kind is UnitKind.MACHINE:
        return machine_units(narrowed)
    return position_units(narrowed)


def equals_of(units: pd.DataFrame, treated: Flags) -> tuple[Flags, str]:
    """The closest peer group that holds all treated units, and its name.

    What the treated do not share cannot tell equals apart, so it is left out of the
    rule of peers: liquids that differ, then duties.
    """
    common = units.copy()
    for column, word in (("liquid_class", "any liquid"), ("duty", "any duty")):
        if common.loc[treated, column].nunique() > 1:
            common[column] = word
    for group in peer_groups(common):
        if (group.answers & treated).any():
            return group.members, group.name
    return np.ones(len(units), dtype=bool), ""
