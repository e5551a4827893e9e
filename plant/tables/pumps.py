"""Table and export of the list of pumps, and the moves of a pump."""

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from plant.display import date as day
from plant.display import date_time
from plant.listing import Column
from plant.models import Placement
from plant.tables.cells import cell, position_cell, pump_cell

if TYPE_CHECKING:
    from plant.selectors.pumps import ListedPump

COLUMNS = (
    Column("Serial number", "serial", ("serial_number",)),
    Column("Where it is", "where", ("position_tag", "serial_number")),
    Column("Assembly", "assembly", ("assembly", "serial_number")),
    Column("Maker", "maker", ("maker", "serial_number")),
    Column("Design", "design", ("design", "serial_number")),
    Column("Size", "size", ("size", "serial_number")),
    Column("Casing material", "material", ("casing_material", "serial_number")),
    Column("Site", "site", ("site__name", "serial_number")),
)
PLACEMENT_COLUMNS_OF_PUMP = (Column("Position"), Column("From"), Column("Until"))
PLACEMENT_COLUMNS_OF_POSITION = (Column("Pump"), Column("From"), Column("Until"))
EXPORT_HEADER = (
    "site",
    "serial_number",
    "maker",
    "assembly",
    "design",
    "size",
    "casing_material",
    "shaft_overhang_mm",
    "shaft_diameter_mm",
    "mounting",
    "impeller_kind",
    "has_sleeve",
    "where",
    "tag",
    "retired_on",
)


def where_in_words(pump: "ListedPump") -> str:
    """Where a pump is now: its position's tag, the store, or retired."""
    if pump.retired_on is not None:
        return f"Retired {day(pump.retired_on)}"
    return pump.position_tag or "Store"


def pump_cells(pumps: Iterable["ListedPump"]) -> list[list[dict[str, Any]]]:
    return [
        [
            pump_cell(pump.pk, pump.serial_number),
            position_cell(pump.position_pk, where_in_words(pump)),
            cell(pump.get_assembly_display()),
            cell(pump.maker),
            cell(pump.design),
            cell(pump.size),
            cell(pump.casing_material),
            cell(pump.site.name),
        ]
        for pump in pumps
    ]


def pump_export_row(pump: "ListedPump") -> list[Any]:
    where = "retired" if pump.retired_on else "store"
    return [
        pump.site.name,
        pump.serial_number,
        pump.maker,
        pump.assembly,
        pump.design,
        pump.size,
        pump.casing_material,
        pump.shaft_overhang_mm,
        pump.shaft_diameter_mm,
        pump.mounting,
        pump.impeller_kind,
        "" if pump.has_sleeve is None else "yes" if pump.has_sleeve else "no",
        "position" if pump.position_pk else where,
        pump.position_tag or "",
        pump.retired_on,
    ]


def placements_of_pump(placements: Iterable[Placement]) -> list[list[dict[str, Any]]]:
    return [
        [position_cell(p.position_id, p.position.tag), *_span(p)] for p in placements
    ]


def placements_of_position(
    placements: Iterable[Placement],
) -> list[list[dict[str, Any]]]:
    return [[pump_cell(p.pump_id, p.pump.serial_number), *_span(p)] for p in placements]


def _span(placement: Placement) -> list[dict[str, Any]]:
    until = date_time(placement.removed_at) if placement.removed_at else "stands there"
    return [cell(date_time(placement.placed_at)), cell(until)]
