"""Tables of what the units of the Bad actors page show together."""

from typing import Any

from django.http import QueryDict
from django.urls import reverse

from analytics.reports.bad_actors.families import Family
from analytics.reports.bad_actors.reasons import one_in
from analytics.reports.bad_actors.report import BadActorReport, UnitKind
from analytics.reports.bad_actors.sections import Sections, TravellingMachine
from analytics.reports.bad_actors.table import address
from analytics.tables import Cell, address_with
from plant.display import count, fixed, number


def section_context(
    report: BadActorReport, sections: Sections, query: QueryDict
) -> dict[str, Any]:
    is_machine = report.kind is UnitKind.MACHINE
    pumps = address_with(
        reverse("analytics:bad_actors"), query, unit=UnitKind.MACHINE.value
    )
    return {
        "judges_machines": is_machine,
        "pumps_url": pumps,
        "traveller_columns": [
            {"label": "Pump"},
            {"label": "Separate events", "numeric": True},
            {"label": "On these tags"},
        ],
        "travellers": [_traveller(found, report) for found in sections.travellers],
        "family_caption": "Designs worse than the fleet"
        if is_machine
        else "Areas worse than the fleet",
        "family_columns": [
            {"label": "Design" if is_machine else "Area"},
            {"label": "Pumps" if is_machine else "Positions", "numeric": True},
            {"label": "Separate events", "numeric": True},
            {"label": "At the rate of the others", "numeric": True},
            {"label": "By chance", "numeric": True},
        ],
        "families": [_family(found) for found in sections.families],
        "starter_columns": [
            {"label": report.kind.label},
            {"label": "What was counted"},
            {"label": "By chance", "numeric": True},
        ],
        "starters": [
            [
                {
                    "text": unit.label,
                    "url": address(unit, report.kind),
                    "note": unit.place,
                },
                {"text": f"{found.in_words}."},
                _chance(found.p_value, found.adjusted),
            ]
            for unit, found in sections.starters
        ],
    }


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
