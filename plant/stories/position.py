"""The register's part of a position's page."""

from collections.abc import Iterable
from datetime import datetime
from typing import Any

from django.urls import reverse
from django.utils import timezone

from plant.display import NO_BREAK_SPACE, hours, money, percent, text
from plant.display import date as day
from plant.hazards import hazards_in_words
from plant.listing import Column
from plant.models import DutyPeriod, Position
from plant.ratings import off_best_efficiency
from plant.selectors.lives import by_place, life_rows
from plant.selectors.positions import is_in_service, spare_partners
from plant.selectors.pumps import pump_now_at
from plant.tables import lives as life_table
from plant.tables import positions as position_table
from plant.tables import pumps as pump_table
from plant.tables.cells import as_entered, cell

DUTY_COLUMNS = (
    Column("Holds from"),
    Column("Running share", numeric=True),
    Column("Seal plan"),
    Column("Seal-support system"),
    Column("Casing"),
)


def position_story(
    position: Position, as_of: datetime, *, may_change: bool
) -> dict[str, Any]:
    """What stands and holds at a position, as components take it."""
    on = timezone.localdate(as_of)
    pump = pump_now_at(position.pk)
    fitted = life_rows(pump.lives.still_in(), as_of) if pump else []
    placements = position.placements.select_related("pump").order_by("-placed_at")
    periods = position.duty_periods.order_by("-starts_on")
    partners = spare_partners(position, on)
    return {
        "position": position,
        "pump": pump,
        "in_service": is_in_service(position, on),
        "steps": [{"label": "Pumps", "url": reverse("plant:position_list")}],
        "subtitle": _subtitle(position),
        "caution": _caution(position),
        "identity": _identity(position),
        "duty": _duty(position),
        "duty_columns": DUTY_COLUMNS,
        "duty_rows": _duty_cells(periods, may_change),
        "partner_caption": _group_in_words(position),
        "partner_columns": position_table.PARTNER_COLUMNS,
        "partner_rows": position_table.partner_cells(partners),
        "fitted_columns": life_table.FITTED_COLUMNS,
        "fitted_rows": life_table.fitted_cells(by_place(fitted)),
        "placement_columns": pump_table.PLACEMENT_COLUMNS_OF_POSITION,
        "placement_rows": pump_table.placements_of_position(placements),
    }


def _subtitle(position: Position) -> str:
    return " · ".join(filter(None, [position.service, position.liquid]))


def _caution(position: Position) -> str:
    hazards = hazards_in_words(position.hazards)
    return f"{hazards.capitalize()}." if hazards else ""


def _identity(position: Position) -> list[dict[str, Any]]:
    cost = money(position.stopped_cost_per_hour, position.site.currency)
    records_from = position.records_from or position.site.records_from
    left = position.out_of_service_on
    entries = [
        _entry("Site and area", f"{position.site}, {position.area}"),
        _entry("Service", position.service),
        _entry("Liquid", position.liquid, note=hazards_in_words(position.hazards)),
        _entry("Criticality", position.get_criticality_display()),
        _entry("Sparing", position.get_sparing_display()),
        _entry("Spare group", _group_in_words(position)),
        _entry("Cost of a stopped hour", cost),
        _entry("Buffer after a stop", hours(position.buffer_hours)),
        _entry("Output lost by a stop", _output_lost(position)),
        _entry("In service since", day(position.in_service_on)),
        _entry("Records from", day(records_from)),
    ]
    if left is not None:
        entries.insert(10, _entry("Out of service since", day(left)))
    return entries


def _output_lost(position: Position) -> str:
    share = as_entered(round(position.output_share_lost * 100, 4))
    return f"{share}{NO_BREAK_SPACE}%"


def _group_in_words(position: Position) -> str:
    group = position.spare_group
    return f"{group.name}: {group.needed_running} needed to run" if group else ""


def _duty(position: Position) -> list[dict[str, Any]]:
    return [
        _measure("Flow", position.flow_m3_h, "m³/h"),
        _measure("Best-efficiency flow", position.bep_flow_m3_h, "m³/h"),
        _entry("Distance from best efficiency", _off_best_efficiency(position)),
        _measure("Head", position.head_m, "m"),
        _measure("Speed", position.speed_rpm, "r/min"),
        _measure("Power", position.power_kw, "kW"),
        _measure("Temperature", position.temperature_c, "°C"),
        _measure("Density", position.density_kg_m3, "kg/m³"),
        _entry("Coupling", position.get_coupling_display()),
        _measure("Length of the spacer", position.spacer_length_mm, "mm"),
        _entry("Vibration category", _vibration_category(position)),
    ]


def _vibration_category(position: Position) -> str:
    """As chosen; else what the liquid makes of it, which the readings follow."""
    if position.vibration_category:
        return position.get_vibration_category_display()
    return "by the liquid: I where it is toxic"


def _off_best_efficiency(position: Position) -> str:
    share = off_best_efficiency(position.flow_m3_h, position.bep_flow_m3_h)
    if share is None:
        return ""
    if abs(share) < 0.005:
        return "none"
    return f"{percent(abs(share))} {'above' if share > 0 else 'below'}"


def _entry(term: str, words: str, **more: Any) -> dict[str, Any]:
    return {"term": term, "text": text(words), **more}


def _measure(term: str, value: float | None, unit: str) -> dict[str, Any]:
    shown = "" if value is None else f"{as_entered(value)}{NO_BREAK_SPACE}{unit}"
    return _entry(term, shown)


def _duty_cells(
    periods: Iterable[DutyPeriod], may_change: bool
) -> list[list[dict[str, Any]]]:
    return [
        [
            _duty_day(period, may_change),
            cell(percent(period.running_share), numeric=True),
            cell(period.piping_plan),
            cell(period.seal_support_system),
            cell(period.casing),
        ]
        for period in periods
    ]


def _duty_day(period: DutyPeriod, may_change: bool) -> dict[str, Any]:
    if not may_change:
        return cell(day(period.starts_on))
    address = reverse("plant:duty_period_set", args=[period.position_id])
    return cell(day(period.starts_on), url=f"{address}?from={day(period.starts_on)}")
