"""Tables of what the units of the Bad actors page show together."""

from typing import Any

from django.http import QueryDict
from django.urls import reverse

from analytics.reports.bad_actors.families import Family
from analytics.reports.bad_actors.reasons import one_in
from analytics.reports.bad_actors.report import BadActorReport, Unit, UnitKind
from analytics.reports.bad_actors.sections import Sections, TravellingMachine
from analytics.reports.bad_actors.starting import StartFailures
from analytics.reports.bad_actors.table import address
from analytics.tables import Cell, address_with
from plant.display import count, fixed, number

TRAVELLER_COLUMNS: list[Cell] = [
    {"label": "Pump"},
    {"label": "Separate events", "numeric": True},
    {"label": "On these tags"},
]


def section_context(
    report: BadActorReport, sections: Sections, query: QueryDict
) -> dict[str, Any]:
    is_machine = report.kind is UnitKind.MACHINE
    here, machine = reverse("analytics:bad_actors"), UnitKind.MACHINE.value
    families = "Designs" if is_machine else "Areas"
    return {
        "judges_machines": is_machine,
        "pumps_url": address_with(here, query, unit=machine),
        "traveller_columns": TRAVELLER_COLUMNS,
        "travellers": [_traveller(found, report) for found in sections.travellers],
        "family_caption": f"{families} worse than the fleet",
        "family_columns": _family_columns(is_machine),
        "families": [_family(found) for found in sections.families],
        "starter_columns": [
            {"label": report.kind.label},
            {"label": "What was counted"},
            {"label": "By chance", "numeric": True},
        ],
        "starters": [
            _starter(unit, found, report) for unit, found in sections.starters
        ],
    }


def _family_columns(is_machine: bool) -> list[Cell]:
    return [
        {"label": "Design" if is_machine else "Area"},
        {"label": "Pumps" if is_machine else "Positions", "numeric": True},
        {"label": "Separate events", "numeric": True},
        {"label": "At the rate of the others", "numeric": True},
        {"label": "By chance", "numeric": True},
    ]


def _starter(unit: Unit, found: StartFailures, report: BadActorReport) -> list[Cell]:
    return [
        {"text": unit.label, "url": address(unit, report.kind), "note": unit.place},
        {"text": f"{found.in_words}."},
        _chance(found.p_value, found.adjusted),
    ]


def _traveller(found: TravellingMachine, report: BadActorReport) -> list[Cell]:
    tags = ", ".join(f"{tag} ({number(events)})" for tag, events in found.by_tag)
    return [
        {"text": found.unit.label, "url": address(found.unit, report.kind)},
        {"text": number(found.events), "numeric": True},
        {"text": tags, "note": f"{count(len(found.by_tag), 'tag')}, one machine"},
    ]


def _family(found: Family) -> list[Cell]:
    times = f"{fixed(found.ratio)} times" if found.expected else "none elsewhere"
    return [
        {"text": found.name},
        {"text": number(found.units), "numeric": True},
        {"text": number(found.events), "numeric": True, "note": times},
        {"text": fixed(found.expected), "numeric": True},
        _chance(found.p_value, found.adjusted),
    ]


def _chance(p_value: float, adjusted: float) -> Cell:
    return {
        "text": one_in(p_value, rarer="under"),
        "numeric": True,
        "note": f"adjusted p {number(adjusted, 2)}",
    }
