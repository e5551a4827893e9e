"""The repair log's tables."""

from records.models.action import Action
from records.models.cost_line import CostLine
from records.models.counting_rule import CountingRule
from records.models.fleet_import import FleetImport, FleetImportFile
from records.models.hour_reading import HourReading
from records.models.money_table import ExchangeRate, PriceLevel
from records.models.photo import Photo
from records.models.reading import Reading, WarningLevel
from records.models.repair import ComponentChange, Repair
from records.models.setting_check import CheckLimit, SettingCheck
from records.models.tablet_entry import EntryState, TabletEntry
from records.models.teardown import TeardownFinding
from records.models.upgrade_case import UpgradeCase

__all__ = [
    "Action",
    "CheckLimit",
    "ComponentChange",
    "CostLine",
    "CountingRule",
    "EntryState",
    "ExchangeRate",
    "FleetImport",
    "FleetImportFile",
    "HourReading",
    "Photo",
    "PriceLevel",
    "Reading",
    "Repair",
    "SettingCheck",
    "TabletEntry",
    "TeardownFinding",
    "UpgradeCase",
    "WarningLevel",
]
