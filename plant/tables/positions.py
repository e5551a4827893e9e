"""Table and export of the register of positions."""

from collections.abc import Iterable
from datetime import date
from typing import TYPE_CHECKING, Any

from plant.display import date as day
from plant.display import percent
from plant.hazards import hazards_in_words
from plant.listing import Column
from plant.selectors.positions import is_in_service
from plant.tables.cells import cell, position_cell, pump_cell

if TYPE_CHECKING:
    from plant.selectors.positions import ListedPosition

COLUMNS = (
    Column("Tag", "tag", ("tag",)),
    Column("Service", "service", ("service",)),
    Column("Liquid", "liquid", ("liquid",)),
    Column("Area", "area", ("site__name", "area__name", "tag")),
    Column("Criticality", "criticality", ("criticality_rank", "tag")),
    Column("Sparing", "sparing", ("sparing", "tag")),
    Column("Pump standing there", "pump", ("pump_serial",)),
    Column("Seal plan", "plan", ("piping_plan", "tag")),
    Column("In service since", "since", ("in_service_on", "tag")),
)
PARTNER_COLUMNS = (
    Column("Tag"),
    Column("Service"),
    Column("Pump standing there"),
    Column("Running share", numeric=True),
    Column("Seal plan"),
)
EXPORT_HEADER = (
    "site",
    "area",
    "tag",
    "service",
    "liquid",
    "hazards",
    "criticality",
    "sparing",
    "serial_number",
    "piping_plan",
    "running_share",
    "stopped_cost_per_hour",
    "buffer_hours",
    "output_share_lost",
    "flow_m3_h",
    "bep_flow_m3_h",
    "head_m",
    "speed_rpm",
    "power_kw",
    "temperature_c",
    "density_kg_m3",
    "in_service_on",
    "out_of_service_on",
    "records_from",
    "coupling",
    "spacer_length_mm",
    "vibration_category",
)
SAME_NAME = EXPORT_HEADER[EXPORT_HEADER.index("stopped_cost_per_hour") :]


def position_cells(
    positions: Iterable["ListedPosition"], on: date
) -> list[list[dict[str, Any]]]:
    return [_cells(position, on) for position in positions]


def _cells(position: "ListedPosition", on: date) -> list[dict[str, Any]]:
    note = "" if is_in_service(position, on) else "out of service"
    return [
        position_cell(position.pk, position.tag, note=note),
        cell(position.service),
        cell(position.liquid, note=hazards_in_words(position.hazards)),
        cell(position.area.name, note=position.site.name),
        cell(position.get_criticality_display()),
        cell(position.get_sparing_display()),
        pump_cell(position.pump_pk, position.pump_serial),
        cell(position.piping_plan),
        cell(day(position.in_service_on)),
    ]


def partner_cells(
    positions: Iterable["ListedPosition"],
) -> list[list[dict[str, Any]]]:
    return [
        [
            position_cell(position.pk, position.tag),
            cell(position.service),
            pump_cell(position.pump_pk, position.pump_serial),
            cell(percent(position.running_share), numeric=True),
            cell(position.piping_plan),
        ]
        for position in positions
    ]


def position_export_row(position: "ListedPosition") -> list[Any]:
    return [
        position.site.name,
        position.area.name,
        position.tag,
        position.service,
        position.liquid,
        ";".join(position.hazards),
        position.criticality,
        position.sparing,
        position.pump_serial or "",
        position.piping_plan or "",
        position.running_share,
        *[getattr(position, name) for name in SAME_NAME],
    ]
