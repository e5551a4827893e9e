"""Columns, cells and export rows of the page on energy."""

import math
from collections.abc import Callable
from typing import Any

from django.urls import reverse

from analytics.life.results import Estimate
from analytics.reports.energy.judging import Verdict
from analytics.reports.energy.report import EnergyLine, EnergyReport
from analytics.tables import Cell, SortKeys
from analytics.wording import confidence_label, whole
from plant.display import NO_VALUE, fixed, interval, percent
from plant.listing import Column

USUAL_SORT = "-kwh"
ORDER = [
    Verdict.WORN,
    Verdict.SMALL,
    Verdict.BETTER,
    Verdict.NOT_CLEAR,
    Verdict.NO_FIGURE,
]


def _value(estimate: Estimate | None) -> float:
    return -math.inf if estimate is None else estimate.value


SORT_KEYS: SortKeys = {
    "name": lambda line: (line.position.site.name, line.position.tag),
    "pump": lambda line: line.serial,
    "now": lambda line: _value(line.efficiency.now),
    "asnew": lambda line: line.efficiency.as_new or -math.inf,
    "drop": lambda line: _value(line.efficiency.drop),
    "readings": lambda line: len(line.efficiency.used),
    "kwh": lambda line: (_value(line.kwh), _value(line.efficiency.drop)),
    "cost": lambda line: _value(line.cost),
    "verdict": lambda line: ORDER.index(line.efficiency.verdict),
}
COLUMNS = [
    Column("Position", "name"),
    Column("Verdict", "verdict"),
    Column("Drop, points", "drop", numeric=True),
    Column("kWh a year", "kwh", numeric=True),
    Column("Cost a year", "cost", numeric=True),
    Column("Efficiency now", "now", numeric=True),
    Column("As new", "asnew", numeric=True),
    Column("Readings", "readings", numeric=True),
    Column("Pump", "pump"),
]


def tenths(share: Any) -> str:
    return percent(share, 1)


def in_points(share: Any) -> str:
    return NO_VALUE if share is None else fixed(100 * share)


def limits(estimate: Estimate | None, show: Callable[[Any], str]) -> str:
    if estimate is None:
        return ""
    return interval(estimate.interval.low, estimate.interval.high, show)


def figure(estimate: Estimate | None, show: Callable[[Any], str], **more: Any) -> Cell:
    """One estimate with its interval under it."""
    text = NO_VALUE if estimate is None else show(estimate.value)
    return {"text": text, "numeric": True, "note": limits(estimate, show), **more}


def in_currency(line: EnergyLine) -> Callable[[Any], str]:
    return lambda amount: f"{line.position.site.currency} {whole(amount)}"


def cells(line: EnergyLine, asked: str) -> list[Cell]:
    found = line.efficiency
    page = reverse("analytics:energy_position", args=[line.position.pk])
    running = line.running
    is_estimated = running is not None and running.is_estimated
    return [
        {"text": line.position.tag, "url": f"{page}{asked}"},
        {
            "text": str(found.verdict.label),
            "note": found.sentence,
            "flag": "worn" if found.verdict is Verdict.WORN else "",
            "alert": found.verdict is Verdict.WORN,
        },
        figure(found.drop, in_points),
        figure(line.kwh, whole, flag="estimated" if is_estimated else ""),
        _cost(line),
        {**figure(found.now, tenths), "note": limits(found.now, in_points)},
        _as_new(line),
        {"text": whole(len(found.used)), "numeric": True},
        _pump(line),
    ]


def _pump(line: EnergyLine) -> Cell:
    if line.series.pump is None:
        return {"text": NO_VALUE}
    url = reverse("plant:pump_detail", args=[line.series.pump.pump])
    return {"text": line.serial, "url": url}


def _as_new(line: EnergyLine) -> Cell:
    found = line.efficiency
    text = NO_VALUE if found.as_new is None else tenths(found.as_new)
    return {"text": text, "numeric": True, "note": line.known.words}


def _cost(line: EnergyLine) -> Cell:
    if line.kwh is not None and line.cost is None:
        return {"text": NO_VALUE, "numeric": True, "note": "no energy price"}
    return {**figure(line.cost, in_currency(line)), "note": limits(line.cost, whole)}


EXPORT_HEADER = [
    "site",
    "area",
    "tag",
    "serial_number",
    "verdict",
    "why",
    "efficiency_now",
    "now_low",
    "now_high",
    "efficiency_as_new",
    "as_new_from",
    "drop",
    "drop_low",
    "drop_high",
    "readings",
    "belong_together_since",
    "running_hours",
    "hours_estimated",
    "kwh_a_year",
    "kwh_low",
    "kwh_high",
    "cost_a_year",
    "cost_low",
    "cost_high",
    "currency",
    "price_per_kwh",
    "motor_efficiency",
    "confidence",
]


def export_row(line: EnergyLine, report: EnergyReport) -> list[Any]:
    """Unrounded numbers of the line that the page shows rounded."""
    found, site, running = line.efficiency, line.position.site, line.running
    return [
        site.name,
        line.position.area.name,
        line.position.tag,
        line.serial,
        str(found.verdict.label),
        found.sentence,
        *_numbers(found.now),
        found.as_new,
        line.known.words,
        *_numbers(found.drop),
        len(found.used),
        line.series.since_words,
        running.hours if running else None,
        ("yes" if running.is_estimated else "no") if running else "",
        *_numbers(line.kwh),
        *_numbers(line.cost),
        site.currency,
        site.energy_price_per_kwh,
        report.motor_efficiency,
        report.scope.confidence,
    ]


def _numbers(estimate: Estimate | None) -> list[float | None]:
    if estimate is None:
        return [None, None, None]
    limit = estimate.interval
    return [float(one) for one in (estimate.value, limit.low, limit.high)]


def caption(report: EnergyReport) -> str:
    label = confidence_label(report.scope.confidence)
    return f"Efficiency against as new, with {label}s"
