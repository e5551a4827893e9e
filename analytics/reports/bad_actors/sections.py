"""What the units of a page show together: travellers, bad families, bad starters."""

from dataclasses import dataclass

import numpy as np
import pandas as pd

from analytics.reports.bad_actors.families import (
    LEAST_RATIO,
    LEAST_UNITS,
    Family,
    families,
)
from analytics.reports.bad_actors.recorded import failures_on_starting
from analytics.reports.bad_actors.report import BadActorReport, Unit, UnitKind
from analytics.reports.bad_actors.starting import StartFailures, start_failures
from analytics.reports.bad_actors.travellers import travellers
from plant.models import Position, Pump


@dataclass(frozen=True, slots=True)
class TravellingMachine:
    """A flagged machine with its separate events at each tag, most first."""

    unit: Unit
    events: int
    by_tag: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class Sections:
    travellers: tuple[TravellingMachine, ...]
    """Empty where positions are judged: a tag does not travel."""
    families: tuple[Family, ...]
    starters: tuple[tuple[Unit, StartFailures], ...]


def sections_of(report: BadActorReport) -> Sections:
    """The number of queries does not depend on the records."""
    units = {unit.key: unit for unit in report.units}
    counts = failures_on_starting(report.service, report.table, report.kind.of_repair)
    return Sections(
        travellers=_travellers(report),
        families=_worse_families(report),
        starters=tuple(
            (units[found.key], found)
            for found in start_failures(counts)
            if found.dies_on_starting
        ),
    )


def _travellers(report: BadActorReport) -> tuple[TravellingMachine, ...]:
    if report.kind is UnitKind.POSITION:
        return ()
    flagged = {unit.key: unit for unit in report.flagged}
    found = travellers({key: unit.facts for key, unit in flagged.items()})
    seen = {position for machine in found for position, _ in machine.by_position}
    tags = dict(Position.objects.filter(pk__in=seen).values_list("pk", "tag"))
    return tuple(
        TravellingMachine(
            flagged[machine.key],
            machine.events,
            tuple((tags[pk], events) for pk, events in machine.by_position),
        )
        for machine in found
    )


def _worse_families(report: BadActorReport) -> tuple[Family, ...]:
    """Areas of positions, or designs of pumps, that are worse than the others."""
    table = report.table
    names = _areas(table) if report.kind is UnitKind.POSITION else _designs(report)
    named = (names != "").to_numpy()
    table, names = table[named], names[named]
    # The exchanges take time that a fleet without any candidate can spare.
    if not _any_candidate(table, names):
        return ()
    found = families(
        names.tolist(),
        table["events"].to_numpy(dtype=np.int64),
        table["days"].to_numpy(dtype=float),
    )
    return tuple(family for family in found if family.is_worse)


def _any_candidate(table: pd.DataFrame, names: "pd.Series[str]") -> bool:
    """Whether a family has the units and the events to be called worse."""
    sums = table.groupby(names.to_numpy())[["events", "days"]].sum()
    sizes = table.groupby(names.to_numpy()).size()
    rest = sums.sum() - sums
    ratio = sums["events"] * rest["days"] >= LEAST_RATIO * rest["events"] * sums["days"]
    return bool((ratio & (sizes >= LEAST_UNITS) & (sizes < len(table))).any())


def _areas(table: pd.DataFrame) -> "pd.Series[str]":
    if table["site_name"].nunique() > 1:
        return table["place"] + ", " + table["site_name"]
    return table["place"].astype(str)


def _designs(report: BadActorReport) -> "pd.Series[str]":
    pumps = Pump.objects.visible_to(report.scope.user).order_by()
    designs = dict(pumps.exclude(design="").values_list("pk", "design"))
    keys = report.table["key"]
    return pd.Series([designs.get(key, "") for key in keys], keys.index, dtype=str)
