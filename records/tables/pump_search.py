"""Matches of the search for a pump, each leading to its form."""

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from django.urls import reverse

from plant import display

if TYPE_CHECKING:
    from plant.models import Pump
    from plant.selectors.positions import ListedPosition

Cell = dict[str, Any]
POSITION_COLUMNS = [
    {"label": "Tag"},
    {"label": "Service"},
    {"label": "Pump there now"},
    {"label": "Area"},
]
PUMP_COLUMNS = [{"label": "Serial number"}, {"label": "Maker"}, {"label": "Site"}]


def position_cells(positions: Iterable["ListedPosition"]) -> list[list[Cell]]:
    new = reverse("records:repair_new")
    return [
        [
            {"text": position.tag, "url": f"{new}?position={position.pk}"},
            {"text": display.text(position.service)},
            {"text": display.text(position.pump_serial)},
            {"text": position.area.name, "note": position.site.name},
        ]
        for position in positions
    ]


def pump_cells(pumps: Iterable["Pump"]) -> list[list[Cell]]:
    new = reverse("records:repair_new")
    return [
        [
            {"text": pump.serial_number, "url": f"{new}?pump={pump.pk}"},
            {"text": display.text(pump.maker)},
            {"text": pump.site.name},
        ]
        for pump in pumps
    ]
