"""The register's part of a pump's page."""

from datetime import datetime
from typing import Any

from django.urls import reverse

from plant.display import NO_BREAK_SPACE, number, text, yes_no
from plant.display import date as day
from plant.models import Pump
from plant.ratings import shaft_stiffness_ratio
from plant.selectors.lives import by_place, life_rows
from plant.selectors.pumps import placement_now
from plant.tables import acceptance_points as point_table
from plant.tables import lives as life_table
from plant.tables import pumps as pump_table
from plant.tables.cells import as_entered


def pump_story(
    pump: Pump, as_of: datetime, *, may_change: bool = False
) -> dict[str, Any]:
    """What a pump is, where it stood and what was fitted in it."""
    rows = life_rows(pump.lives.order_by("-fitted_at", "location"), as_of)
    fitted = by_place(row for row in rows if row.is_still_in)
    placements = pump.placements.select_related("position").order_by("-placed_at")
    return {
        "pump": pump,
        "placement": placement_now(pump),
        "steps": [
            {"label": "Pumps by serial number", "url": reverse("plant:pump_list")}
        ],
        "subtitle": _subtitle(pump),
        "assembly": _assembly(pump),
        "fitted_columns": life_table.FITTED_COLUMNS,
        "fitted_rows": life_table.fitted_cells(fitted),
        "life_columns": life_table.LIFE_COLUMNS,
        "life_rows": life_table.life_cells(rows),
        "placement_columns": pump_table.PLACEMENT_COLUMNS_OF_PUMP,
        "placement_rows": pump_table.placements_of_pump(placements),
        "point_columns": point_table.columns_for(may_change),
        "point_rows": point_table.point_cells(
            pump.acceptance_points.all(), may_change=may_change
        ),
    }


def _subtitle(pump: Pump) -> str:
    words = [pump.get_assembly_display(), pump.design, pump.size]
    return " · ".join(word for word in words if word)


def _assembly(pump: Pump) -> list[dict[str, Any]]:
    ratio, ratio_note = _stiffness(pump)
    return [
        _entry("Serial number", pump.serial_number),
        _entry("Maker", pump.maker),
        _entry("Assembly", pump.get_assembly_display()),
        _entry("Design", pump.design),
        _entry("Size", pump.size),
        _entry("Casing material", pump.casing_material),
        _entry("Mounting", pump.get_mounting_display()),
        _entry("Impeller", pump.get_impeller_kind_display()),
        _entry("Sleeve on the shaft", yes_no(pump.has_sleeve)),
        _entry("Shaft overhang", _millimetres(pump.shaft_overhang_mm)),
        _entry("Shaft diameter", _millimetres(pump.shaft_diameter_mm)),
        _entry("Shaft stiffness ratio L³/D⁴", ratio, note=ratio_note),
        _entry("Site", pump.site.name),
        _entry("Records from", day(pump.records_from or pump.site.records_from)),
    ]


def _stiffness(pump: Pump) -> tuple[str, str]:
    if not pump.shaft_overhang_mm or not pump.shaft_diameter_mm:
        return "", "needs overhang and diameter of the shaft"
    ratio = shaft_stiffness_ratio(pump.shaft_overhang_mm, pump.shaft_diameter_mm)
    return f"{number(ratio)}{NO_BREAK_SPACE}1/mm", "lower is stiffer; a screen only"


def _millimetres(value: float | None) -> str:
    return "" if value is None else f"{as_entered(value)}{NO_BREAK_SPACE}mm"


def _entry(term: str, words: str, **more: Any) -> dict[str, Any]:
    return {"term": term, "text": text(words), **more}
