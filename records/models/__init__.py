"""The repair log's tables."""

from records.models.cost_line import CostLine
from records.models.counting_rule import CountingRule
from records.models.fleet_import import FleetImport, FleetImportFile
from records.models.hour_reading import HourReading
from records.models.repair import ComponentChange, Repair

__all__ = [
    "ComponentChange",
    "CostLine",
    "CountingRule",
    "FleetImport",
    "FleetImportFile",
    "HourReading",
    "Repair",
]
